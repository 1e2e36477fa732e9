"""The one door, for writing and asking: every screen, command and report goes through here."""
