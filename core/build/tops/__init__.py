"""Open folder: what closes a piece above."""
