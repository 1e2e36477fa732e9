"""What a record shows of its final drive."""
