"""One linear model for some days."""
