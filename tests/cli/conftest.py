"""Commands run as a user runs them: the installed package, in a process of its own."""

import os
import subprocess
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from apart import run_apart

from torqueaudit.workshop.opening import open_workshop

Run = Callable[..., subprocess.CompletedProcess[str]]
SCRIPT = Path(sys.executable).with_name("torqueaudit")


@pytest.fixture
def run(book_file: Path) -> Run:
    """`run("job", "show", "1")` against the test's book; `book=` names another file."""

    def run_words(*words: str, book: Path = book_file) -> subprocess.CompletedProcess[str]:
        surroundings = {**os.environ, "TORQUEAUDIT_BOOK": str(book), "TORQUEAUDIT_BY": "P-2"}
        return run_apart([str(SCRIPT), *words], surroundings, str(Path.cwd()))

    return run_words


@pytest.fixture
def today(book_file: Path) -> date:
    """The day that it is in the workshop of the test's book, whatever zone that is in, by the machine's clock."""
    with open_workshop(book_file) as workshop:
        return workshop.today()
