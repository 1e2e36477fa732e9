"""Entries, their canonical form, and the hash chain that shows tampering."""
