"""Reading a procedure from its TOML text: every mistake is told with its line, and all of them at once."""
