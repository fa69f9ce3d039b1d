"""A household's own list of what is there, however it was written: read line by line, never guessed in silence."""
