"""The sign-off of some days as files: PDF, JSON and CSV."""
