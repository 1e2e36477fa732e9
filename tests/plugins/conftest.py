"""Procedures of a test's own, entered and read like any other."""

from collections.abc import Callable

import pytest


@pytest.fixture
def enter(enter: Callable[..., str]) -> Callable[..., None]:
    """Enter the procedure "drive", which holds the given tables and a line at its top, and have it read."""

    def entered(tables: str, top: str = "") -> None:
        enter("drive", tables, title="Chain drive", top=top)

    return entered
