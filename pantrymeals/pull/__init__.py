"""The pull list."""
