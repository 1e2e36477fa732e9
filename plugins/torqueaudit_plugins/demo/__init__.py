"""The invented workshop: some weeks of it, played through the same acts as real work."""
