"""From what labels say to checked files or prints."""
