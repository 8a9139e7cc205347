"""Open folder: how a board's end meets the face of another."""
