"""Drawers: a box behind a front, on runners, in the face of the piece or behind a door."""
