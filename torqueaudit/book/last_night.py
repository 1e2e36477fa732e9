"""Which night was the last to be audited, kept in a file beside the book (`yard.book.night`): its day, and when.

It says that a night ran, and nothing of what it found. The ledger holds the nights that judged everything, and no entry
for each night: a book that is at rest is not written to. A copy of the book has no such file.
"""

from datetime import date, datetime
from pathlib import Path

from torqueaudit.book.beside import write_beside
from torqueaudit.book.places import night_of
from torqueaudit.ledger.entry import stamp


def newest(book: Path) -> date | None:
    """The last day whose night was audited; None where that is not known, or cannot be read."""
    try:
        return date.fromisoformat(night_of(book).read_text(encoding="ascii").partition(" ")[0])
    except (OSError, ValueError):
        return None


def keep(book: Path, day: date, moment: datetime) -> None:
    """Keep that the night of a day was audited at a moment, unless that of a later day was. Raises BookError."""
    before = newest(book)
    if not before or before < day:
        write_beside(book, night_of(book), f"{day} {stamp(moment)}")
