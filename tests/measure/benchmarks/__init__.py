"""What the program costs, and what others cost for the same: one command, one table."""
