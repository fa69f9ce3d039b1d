"""Commands of the put-up book."""
