"""The fixtures of torqueaudit: a book, a clock, and job cards from docstrings."""

pytest_plugins = ["torqueaudit.testing"]
