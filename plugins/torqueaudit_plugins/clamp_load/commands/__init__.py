"""The command `torqueaudit clamp`."""
