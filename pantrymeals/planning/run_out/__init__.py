"""Will it reach the new crop: use and losses learnt from the book, simulated forward, and what that means."""
