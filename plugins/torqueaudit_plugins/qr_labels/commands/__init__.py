"""The commands `torqueaudit label` and `torqueaudit scan`."""
