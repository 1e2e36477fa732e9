"""A workshop moves in: the rows of a list of its own are looked at, then entered."""
