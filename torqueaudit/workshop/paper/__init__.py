"""What is printed of a job to be kept: gathered from every room that knows of it."""
