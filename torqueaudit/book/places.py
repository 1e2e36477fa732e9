"""What lies beside a book's file (`yard.book`), and is copied, put aside and put back with it."""

import os
import stat
import sys
from contextlib import suppress
from pathlib import Path

from torqueaudit.book.errors import BookError

# The engine's own; a file may mean nothing without its log. The others hold nothing that was written.
_LOGS, _OTHERS = ("-wal", "-journal"), ("-shm", "-turns")


def photos_of(book: Path) -> Path:
    """The folder of its photos."""
    return book.with_name(f"{book.stem}-photos")


def papers_of(book: Path) -> Path:
    """The folder of its papers."""
    return book.with_name(f"{book.name}.papers")


def seals_of(book: Path) -> Path:
    """The folder of its seals."""
    return book.with_name(f"{book.name}.seals")


def drafts_of(book: Path) -> Path:
    """The folder of the procedures that are still being written, with their pictures."""
    return book.with_name(f"{book.name}.drafts")


def heads_of(book: Path) -> Path:
    """The file of the heads that it told."""
    return book.with_name(f"{book.name}.heads")


def night_of(book: Path) -> Path:
    """The file that says which night was the last to be audited."""
    return book.with_name(f"{book.name}.night")


def backed_up_of(book: Path) -> Path:
    """The file that says when it was backed up last."""
    return book.with_name(f"{book.name}.backed-up")


def folders_of(book: Path) -> tuple[Path, ...]:
    """The folders that a copy of it holds."""
    return photos_of(book), papers_of(book), seals_of(book), drafts_of(book)


def written_of(book: Path) -> tuple[Path, ...]:
    """The file itself first, with its logs: all that the engine has written."""
    return book, *(book.with_name(book.name + end) for end in _LOGS)


def engine_of(book: Path) -> tuple[Path, ...]:
    """Every file of the engine, the file itself first."""
    return *written_of(book), *(book.with_name(book.name + end) for end in _OTHERS)


def all_of(book: Path) -> tuple[Path, ...]:
    """Everything that belongs to it, the file itself first."""
    return *engine_of(book), heads_of(book), night_of(book), backed_up_of(book), *folders_of(book)


def check_unused(book: Path) -> None:
    """Refuse a place beside which another book has left what it remembers. Raises BookError."""
    for left in (heads_of(book), night_of(book)):
        if left.exists():
            raise BookError(f"{left} is left from another book; move it away, or give another name.")


def told_at(says: str, book: Path, place: Path) -> str:
    """A sentence that names a book, or what is in a folder of it, as it lies at another place."""
    for one, other in zip((book, *folders_of(book)), (place, *folders_of(place)), strict=True):
        says = says.replace(str(one), str(other))
    return says


def as_book(book: Path, file: Path) -> None:
    """Let the same people read and write a file as the book, and give it to whom the book belongs. Raises OSError."""
    file.chmod(stat.S_IMODE(book.stat().st_mode))
    owned_as_book(book, file)


def owned_as_book(book: Path, file: Path) -> None:
    """Give a file or a folder to whom the book belongs, where that is allowed. Raises OSError."""
    if sys.platform != "win32":
        with suppress(PermissionError):  # only an administrator gives files away
            own = book.stat()
            os.chown(file, own.st_uid, own.st_gid)
