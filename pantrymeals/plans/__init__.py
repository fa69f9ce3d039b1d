"""What was decided (frozen)."""
