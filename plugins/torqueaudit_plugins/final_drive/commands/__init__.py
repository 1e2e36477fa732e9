"""The command `torqueaudit chain`."""
