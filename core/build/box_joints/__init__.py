"""Open folder: how the corners of a drawer box are made."""
