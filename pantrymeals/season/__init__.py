"""What to put up next season."""
