"""What SQLite says about a book's file, in sentences a person can act on."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

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


@contextmanager
def in_words(path: Path, made: Callable[[], list[str]] = list) -> Iterator[None]:
    """Turn what SQLite says about the file into a BookError; a fault of the program itself passes as it is.

    `made` gives what is wrong with the tables, in sentences: where anything is, a statement that failed is no fault of
    the program.
    """
    try:
        yield
    except (NoEntry, UnicodeDecodeError) as error:
        raise damaged(path) from error
    except sqlite3.Error as error:
        exactly = str(getattr(error, "sqlite_errorname", ""))
        name = "_".join(exactly.split("_")[:2])
        if exactly == "SQLITE_CORRUPT_VTAB" or str(error).startswith("fts5:"):  # before SQLite 3.53, and since
            raise BookError(f"{path}: the index by which words are found is damaged; rebuild the lists.") from error
        if name == "SQLITE_CORRUPT" or any(each in str(error) for each in _BAD_BYTES):
            raise damaged(path) from error
        if name == "SQLITE_ERROR" and (faults := made()):
            raise damaged(path, faults[0].rstrip(".")) from error
        if name == "SQLITE_NOTADB":
            raise no_book(path) from error
        if name not in _SENTENCES:
            raise
        raise BookError(_SENTENCES.get(exactly, _SENTENCES[name]).format(path=path)) from error
