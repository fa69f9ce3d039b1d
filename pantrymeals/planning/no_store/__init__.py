"""A month without the store: rehearsed, measured, and looked back on."""
