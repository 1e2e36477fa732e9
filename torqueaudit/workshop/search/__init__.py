"""Anything in the book found by words, and who was shown what is known of whom."""
