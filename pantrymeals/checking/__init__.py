"""Judges a plan from the household's records, knowing nothing of how it was found."""
