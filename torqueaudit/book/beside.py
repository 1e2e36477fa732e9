"""One line in a file beside a book, which stays when the machine stops."""

from contextlib import suppress
from pathlib import Path

from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import write_whole
from torqueaudit.book.places import as_book


def write_beside(book: Path, place: Path, line: str) -> None:
    """Write one line into a file beside a book, for the same people as the book. Raises BookError."""
    try:
        write_whole(place, f"{line}\n".encode())
    except OSError as error:
        raise BookError(f"{place} cannot be written: {error.strerror}.") from None
    with suppress(OSError):  # somebody else's
        as_book(book, place)
