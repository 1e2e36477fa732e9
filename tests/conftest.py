"""The ready-made book, the workshop opened on it, and the reader of job cards."""

import os

import pytest
from hypothesis import settings

pytest_plugins = ["torqueaudit.testing"]

# No test is timed. `make test` tries the same examples every time; `make proof` looks for new ones.
settings.register_profile("test", deadline=None, derandomize=True)
settings.register_profile("proof", deadline=None)
settings.load_profile("proof" if "TORQUEAUDIT_PROOF" in os.environ else "test")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    """The figures that tests measured, as they stand in the log."""
    for report in terminalreporter.getreports("passed"):
        for name, value in report.user_properties:
            if name == "figures":
                terminalreporter.write_line(str(value))
