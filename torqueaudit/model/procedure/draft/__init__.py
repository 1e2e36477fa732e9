"""A procedure that is being written: its text in pieces, the fields of each, and tables that are pasted into it."""
