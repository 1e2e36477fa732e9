"""Copies of a book that come back: a backup in its place, an export, what is left of a damaged one."""
