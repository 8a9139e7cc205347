"""Open folder: what a compartment holds."""
