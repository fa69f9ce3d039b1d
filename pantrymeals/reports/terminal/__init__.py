"""Reports as terminal text."""
