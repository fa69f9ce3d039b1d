"""What people do with the put-up book."""
