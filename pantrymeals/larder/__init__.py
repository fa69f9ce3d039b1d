"""What is there, who eats, and what an even hand would draw."""
