"""Several programs write one book at once: no act is lost, none doubled, and each waits for the others."""

import subprocess
import sys
from pathlib import Path
from typing import Protocol

from torqueaudit.book.book import Book

WRITER = Path(__file__).parents[1] / "writer.py"
SECONDS = "0.5"


class Place(Protocol):
    """Where the book lies, for another program."""

    address: str


def test_programs_write_at_once(book: Book, place: Place) -> None:
    """Half of their acts go to one job that all write, and are done over when somebody was quicker."""
    programs = [
        subprocess.Popen(
            [sys.executable, "-W", "error", WRITER, place.address, name, SECONDS],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for name in ("2", "3", "4")
    ]
    ends = [program.communicate() for program in programs]
    said = {
        f"{name}-{act}{end}"
        for name, (acts, _) in zip("234", ends, strict=True)
        for act in range(int(acts))
        for end in ("", "~2")
    }

    assert ["", "", ""] == [errors for _, errors in ends]
    assert sorted(said) == sorted(entry.id for entry, _ in book.ledger())
    book.rebuild()
    assert [] == book.verify()
