"""What is typed for it."""
