"""Copies of a book that come back: a backup that is put in its place."""
