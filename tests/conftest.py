"""The ready-made book, the workshop opened on it, and the reader of job cards."""

pytest_plugins = ["torqueaudit.testing"]
