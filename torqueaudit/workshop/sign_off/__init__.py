"""The sign-off of some days."""
