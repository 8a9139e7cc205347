"""Open folder: what a piece stands on."""
