"""The kinds of measurement of a final drive."""
