"""When the book was backed up last, kept in a file beside it (`yard.book.backed-up`).

A copy of the book has no such file, and a backup that another program makes is not known here.
"""

from contextlib import suppress
from datetime import datetime
from pathlib import Path

from torqueaudit.book.beside import write_beside
from torqueaudit.book.places import backed_up_of
from torqueaudit.ledger.entry import moment_of, stamp


def newest(book: Path) -> datetime | None:
    """When the last backup was made; None where that is not known, or cannot be read."""
    with suppress(OSError, ValueError):
        return moment_of(backed_up_of(book).read_text(encoding="ascii").strip())
    return None


def keep(book: Path, moment: datetime) -> None:
    """Keep that a backup was made at a moment. Raises BookError."""
    write_beside(book, backed_up_of(book), stamp(moment))
