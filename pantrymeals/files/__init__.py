"""Reads the household folder."""
