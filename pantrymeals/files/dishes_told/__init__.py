"""A dish as people have it: pasted text, or a saved web page; read line by line, never guessed in silence."""
