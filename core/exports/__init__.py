"""Files of every kind that leave the program: one module, one format."""
