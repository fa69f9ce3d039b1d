"""Reports as JSON, and plans read back."""
