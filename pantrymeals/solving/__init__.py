"""The linear model and who solves it; it knows no food."""
