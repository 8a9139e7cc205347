"""Open folder: what a drawer runs on."""
