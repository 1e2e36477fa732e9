"""How far a book goes that may be damaged, and what its newest entries say, without touching it."""

from collections.abc import Callable
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from torqueaudit.book.flushing import copy_file
from torqueaudit.book.places import written_of
from torqueaudit.book.sqlite.connection import Connection, connect, is_book, sqlite3
from torqueaudit.book.sqlite.stored import stored
from torqueaudit.ledger.chain import Head

T = TypeVar("T")


def newest_in(book: Path, folder: Path) -> Head | None:
    """Where the chain of a book stands, with what its log holds; None where it cannot be read.

    A copy is asked, made in `folder` for that long.
    """
    return _asked(book, folder, _newest)


def rows_behind(book: Path, folder: Path, sequence: int) -> list[tuple[bytes, str]] | None:
    """The text and the hash of each entry of a book behind one; None where they cannot be read.

    Nothing of them was checked. A copy is asked, made in `folder` for that long.
    """
    return _asked(book, folder, lambda opened: list(stored(opened, sequence)))


def _asked(book: Path, folder: Path, ask: Callable[[Connection], T | None]) -> T | None:
    """What a copy of a book answers: opening a file whose log is another one's would damage it."""
    try:
        with TemporaryDirectory(dir=folder) as beside:
            copy = Path(beside, "book")
            for file, copied in zip(written_of(book), written_of(copy), strict=True):
                if file.exists():
                    copy_file(file, copied)
            with closing(connect(copy, wait=0)) as opened:
                return ask(opened) if is_book(opened) else None
    except (OSError, sqlite3.Error):
        return None


def _newest(opened: Connection) -> Head | None:
    site = opened.execute("select site from book").fetchone()
    (last,) = opened.execute("select coalesce(max(position), 0) from ledger").fetchone()
    text, hash_ = next(iter(stored(opened, last - 1)), (b"", ""))
    return Head(site[0], last, hash_) if site and sha256(text).hexdigest() == hash_ else None
