"""What SQLite says about a book's file, in sentences a person can act on."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from torqueaudit.book.errors import BookError
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.ledger.entry import NoEntry
from torqueaudit.model.act import See, Topic

_SENTENCES = {
    "SQLITE_NOTADB": "{path} is not a book",
    "SQLITE_CORRUPT": "{path} is damaged; keep it as it is and go on from the newest backup.",
    "SQLITE_READONLY": "{path} may not be written; allow writing to the file and its folder.",
    "SQLITE_FULL": "The disk that holds {path} is full; nothing was recorded. Free some space and do it again.",
    "SQLITE_BUSY": "{path} is in use by another program; nothing was recorded. Do it again in a moment.",
    "SQLITE_LOCKED": "{path} is in use by another program; nothing was recorded. Do it again in a moment.",
    "SQLITE_IOERR": "The disk that holds {path} does not read or write; nothing was recorded. Look at the disk first.",
    "SQLITE_CANTOPEN": "{path} cannot be opened; look whether its folder may be written.",
}


@contextmanager
def in_words(path: Path) -> Iterator[None]:
    """Turn what SQLite says about the file into a BookError; a fault of the program itself passes as it is."""
    try:
        yield
    except NoEntry as error:
        raise BookError(_SENTENCES["SQLITE_CORRUPT"].format(path=path)) from error
    except sqlite3.Error as error:
        name = "_".join(str(getattr(error, "sqlite_errorname", "")).split("_")[:2])
        if "malformed JSON" in str(error):  # a ledger text whose bytes went bad on the disk
            name = "SQLITE_CORRUPT"
        if name not in _SENTENCES:
            raise
        see = See(Topic.FILE_OF_BOOK) if name == "SQLITE_NOTADB" else None
        raise BookError(_SENTENCES[name].format(path=path), see) from error
