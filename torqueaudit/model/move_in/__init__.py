"""A workshop moves in with lists of its own: what the columns of one mean."""
