"""Reports as pictures."""
