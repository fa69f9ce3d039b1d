"""A month without the store, rehearsed."""
