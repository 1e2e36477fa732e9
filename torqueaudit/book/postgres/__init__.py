"""Books in a database of PostgreSQL: one for each site of a chain of workshops."""
