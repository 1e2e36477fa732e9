"""Whether anybody has changed a book's file: another thread, this one, or another program."""

from pathlib import Path
from threading import Lock

from torqueaudit.book.sqlite.connection import Connection, connect, sqlite3


class Watch:
    """A connection that never writes, so that whatever is written is written by another one. Close it.

    SQLite counts for each connection what the others have committed (PRAGMA data_version). As this one serves every
    thread, its count is the same for all.
    """

    def __init__(self, path: Path) -> None:
        self._path = path
        self._one_by_one = Lock()
        self._connection: Connection | None = None

    def count(self) -> int | None:
        """A number that is another one once something was committed; None where the file cannot be read just now."""
        with self._one_by_one:
            try:
                if self._connection is None:
                    self._connection = connect(self._path, wait=0)
                return int(self._connection.execute("pragma data_version").fetchone()[0])
            except sqlite3.Error:
                return None

    def close(self) -> None:
        """Close the connection."""
        with self._one_by_one:
            if self._connection is not None:
                self._connection.close()
                self._connection = None
