"""Procedures on pages: listed, written from a printed page, pasted, shown as the bench will, entered, and read."""
