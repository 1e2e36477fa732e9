"""The command line: one file for each noun, imported only when it is used."""
