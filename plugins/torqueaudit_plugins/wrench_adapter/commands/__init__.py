"""The command `torqueaudit setting`."""
