"""Shows what was decided; computes nothing."""
