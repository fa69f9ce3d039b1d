"""The table of house rules: each with its constraints, its words, how it gives way, and its twin in the checker."""
