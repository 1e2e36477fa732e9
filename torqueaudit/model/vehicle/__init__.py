"""A motorcycle, and when it is in the workshop."""
