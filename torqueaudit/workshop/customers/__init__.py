"""The owners of motorcycles: what is known of each, and what is done when that changes."""
