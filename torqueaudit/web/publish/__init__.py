"""The owner's pages as plain files, for any web space: what they say holds by the reader's own clock."""
