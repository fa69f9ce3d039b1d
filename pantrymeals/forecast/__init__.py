"""What lasts until when."""
