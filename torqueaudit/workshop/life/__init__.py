"""A motorcycle over the years, and a job at any moment of them."""
