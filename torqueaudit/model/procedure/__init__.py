"""A procedure: what it holds, how its TOML is read, and how it is stored."""
