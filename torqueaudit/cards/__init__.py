"""Job cards: the work written down line by line, each line one act."""
