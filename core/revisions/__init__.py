"""What stays the same while a piece changes: marks, and later what is already cut."""
