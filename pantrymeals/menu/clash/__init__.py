"""What cannot all be kept, and the smallest mending."""
