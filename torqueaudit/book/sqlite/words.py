"""What SQLite says about a book's file, in sentences a person can act on."""

from collections.abc import Callable
from pathlib import Path
from types import TracebackType

from torqueaudit.book.errors import BookError, damaged
from torqueaudit.book.places import heads_of, papers_of, seals_of
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.ledger.entry import NoEntry
from torqueaudit.model.act import See, Topic

_SENTENCES = {
    "SQLITE_READONLY": "{path} may not be written; allow writing to the file and its folder.",
    "SQLITE_FULL": "The disk that holds {path} is full; nothing was recorded. Free some space and do it again.",
    "SQLITE_BUSY": "{path} is in use by another program; nothing was recorded. Do it again in a moment.",
    "SQLITE_LOCKED": "{path} is in use by another program; nothing was recorded. Do it again in a moment.",
    "SQLITE_IOERR": "The disk that holds {path} does not read or write; nothing was recorded. Look at the disk first.",
    # Where the last flush of a commit fails, what was told is there, and may be gone after a power cut.
    "SQLITE_IOERR_FSYNC": "The disk that holds {path} does not take what is written. Look at the disk, then in the "
    "book whether this is recorded.",
    "SQLITE_CANTOPEN": "{path} cannot be opened; look whether its folder may be written.",
}

# Bytes that went bad on the disk: in a text of the ledger, in one of any other table, and in the head of the file.
_BAD_BYTES = ("malformed JSON", "Could not decode to UTF-8", "unsupported file format")


def no_book(path: Path) -> BookError:
    """What is said of a file that is no book; where something lies beside it that only a book has, that it may be."""
    beside = [each.name for each in (heads_of(path), seals_of(path), papers_of(path)) if each.exists()]
    if not beside:
        return BookError(f"{path} is not a book", See(Topic.FILE_OF_BOOK))
    says = f"{path} is not a book, or one that is damaged, for {beside[0]} lies beside it"
    return BookError(says, See(Topic.DAMAGE, str(path)))


class InWords:
    """Turn what SQLite says about the file into a BookError; a fault of the program itself passes as it is.

    For a `with` statement, also for several at once. `made` gives what is wrong with the tables, in sentences: where
    anything is, a statement that failed is no fault of the program.
    """

    def __init__(self, path: Path, made: Callable[[], list[str]] = list) -> None:
        self._path = path
        self._made = made

    def __enter__(self) -> None:
        pass

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        told = None
        if isinstance(error, (NoEntry, UnicodeDecodeError)):
            told = damaged(self._path)
        elif isinstance(error, sqlite3.Error):
            told = self._told(error)
        if told is not None:
            try:
                raise told from error
            finally:
                del told  # else the error holds this frame, and that the error: what it left open stays open

    def _told(self, error: sqlite3.Error) -> BookError | None:
        """What is said of an error of SQLite; None where it is a fault of the program."""
        exactly = str(getattr(error, "sqlite_errorname", ""))
        name = "_".join(exactly.split("_")[:2])
        if exactly == "SQLITE_CORRUPT_VTAB" or str(error).startswith("fts5:"):  # before SQLite 3.53, and since
            return BookError(f"{self._path}: the index by which words are found is damaged; rebuild the lists.")
        if name == "SQLITE_CORRUPT" or any(each in str(error) for each in _BAD_BYTES):
            return damaged(self._path)
        if name == "SQLITE_ERROR" and (faults := self._made()):
            return damaged(self._path, faults[0].rstrip("."))
        if name == "SQLITE_NOTADB":
            return no_book(self._path)
        if name not in _SENTENCES:
            return None
        return BookError(_SENTENCES.get(exactly, _SENTENCES[name]).format(path=self._path))
