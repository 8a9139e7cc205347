"""The workshop: what can be bought and lies in the rack, and what the saws take; one strict file for all jobs."""
