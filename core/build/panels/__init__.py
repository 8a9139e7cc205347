"""Open folder: ways to dress a face (a side, a door, a drawer front)."""
