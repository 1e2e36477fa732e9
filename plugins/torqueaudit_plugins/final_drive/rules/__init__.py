"""The rules of the final drive, one module for each family, and what they share."""
