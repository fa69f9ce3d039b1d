"""The put-up book."""
