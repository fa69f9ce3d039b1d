"""What people type."""
