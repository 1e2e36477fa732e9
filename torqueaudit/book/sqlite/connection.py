"""The one place that chooses the SQLite library; how a connection to a book is set up, and its transactions.

Two SQLite libraries in one process lose each other's locks, so every connection of the program comes from here.
"""

import os
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING

from torqueaudit.book.sqlite.turns import PAUSE, Turns

if TYPE_CHECKING:
    import sqlite3
else:
    try:
        import pysqlite3 as sqlite3
    except ImportError:
        import sqlite3

__all__ = ["Connection", "sqlite3"]

APPLICATION_ID = 0x74717561  # "tqua"
LONGEST_CHANGE = 2.0  # seconds that a program waits for others to let it change the journal mode
SCHEMA_VERSION = 19  # how many migrations there are; compared with PRAGMA user_version

_PRAGMAS = (
    "foreign_keys = on",
    "recursive_triggers = on",
    "secure_delete = on",
    "synchronous = full",
    "cache_size = -65536",  # 64 MB; with the default of 2 MB a look-up among a million entries takes ten times as long
    "soft_heap_limit = 100663296",  # 96 MB for all connections of a process together; a server has one for each thread
)


class Connection(sqlite3.Connection):
    """A connection to a book, with its place in the line of writers and the seconds it waits for a lock."""

    turns: Turns
    wait: float

    def close(self) -> None:
        """Close the file and leave the line."""
        super().close()
        self.turns.close()


def survives_wal_reset(version: tuple[int, int, int]) -> bool:
    """Whether this SQLite has the fix of the WAL-reset bug (two connections and a checkpoint may damage the file)."""
    return version >= (3, 51, 3) or (3, 50, 7) <= version < (3, 51) or (3, 44, 6) <= version < (3, 45)


def journal_mode(version: tuple[int, int, int]) -> str:
    """The fastest journal mode in which this SQLite loses nothing that it said was written."""
    return "wal" if survives_wal_reset(version) else "truncate"


def connect(path: Path, wait: float, *first: str) -> Connection:
    """A connection to an existing file, set up as every connection to a book is; `wait` seconds for a lock.

    The pragmas named `first` come before those that read the file.
    """
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode=rw",
        timeout=wait,
        isolation_level=None,
        check_same_thread=False,
        factory=Connection,
        uri=True,
    )
    connection.turns = Turns(path)
    connection.wait = wait
    try:
        for pragma in (*first, *_PRAGMAS):
            connection.execute(f"pragma {pragma}")
    except BaseException:
        connection.close()
        raise
    return connection


def is_book(connection: Connection) -> bool:
    """Whether the file carries the mark of a book."""
    return bool(connection.execute("pragma application_id").fetchone()[0] == APPLICATION_ID)


def connect_on_any_disk(path: Path, wait: float) -> Connection:
    """A connection that can read, on a full disk too.

    Where there is no room for the memory that programs share beside the file, the connection keeps it for itself and
    shuts others out. SQLite allows that only where no other program has the file open.
    """
    try:
        return connect(path, wait)
    except sqlite3.OperationalError as error:
        if not str(getattr(error, "sqlite_errorname", "")).startswith("SQLITE_IOERR"):
            raise
    return connect(path, wait, "locking_mode = exclusive")


def set_journal(connection: Connection) -> None:
    """Put the file into the journal mode this SQLite is safe in. Raises when another program holds it in the other."""
    wanted = journal_mode(sqlite3.sqlite_version_info[:3])
    if connection.execute("pragma journal_mode").fetchone()[0] == wanted:
        return
    if connection.execute(f"pragma journal_mode = {wanted}").fetchone()[0] != wanted:
        raise sqlite3.OperationalError("database is locked")


@contextmanager
def aside(connection: Connection) -> Iterator[None]:
    """A database `aside` in memory for a block, so that rows which are written anew lie on no disk meanwhile."""
    connection.execute("attach ':memory:' as aside")
    try:
        yield
    finally:
        connection.execute("detach aside")


class Writing:
    """One transaction that has the write lock from its start, in its turn: all of it is written, or nothing.

    For a `with` statement. A class, because every act passes here and a generator takes three times as long.
    """

    def __init__(self, connection: Connection, lock: str = "immediate") -> None:
        self._connection = connection
        self._lock = lock

    def __enter__(self) -> None:
        try:
            in_turn(self._connection, f"begin {self._lock}")
        except BaseException:
            self._undo()
            raise

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        try:
            if error is None:
                self._connection.execute("commit")
        finally:
            self._undo()

    def _undo(self) -> None:
        """Take back whatever is not committed."""
        if self._connection.in_transaction:
            self._connection.execute("rollback")


def in_turn(connection: Connection, statement: str) -> None:
    """Run a statement that takes the write lock, as the first in line, so that nobody who comes later is quicker."""
    left = connection.wait
    try:
        left = connection.turns.come(connection.wait)
        if left < connection.wait:
            connection.execute(f"pragma busy_timeout = {round(left * 1000)}")
        connection.execute(statement)
    finally:
        connection.turns.leave()
        if left < connection.wait:
            connection.execute(f"pragma busy_timeout = {round(connection.wait * 1000)}")


@contextmanager
def snapshot(connection: Connection) -> Iterator[None]:
    """One transaction in which every read sees the same state of the book."""
    connection.execute("begin")
    try:
        yield
    finally:
        connection.execute("rollback")


class Connections:
    """One connection for each thread that asks, kept open because a fresh one starts with a cold cache."""

    def __init__(self, path: Path, wait: float) -> None:
        self._path = path
        self._wait = wait
        self._lock = threading.Lock()
        self._own = threading.local()
        self._open: list[tuple[threading.Thread, Connection]] = []
        self._closed = False

    def here(self) -> Connection:
        """The calling thread's own connection."""
        try:
            connection: Connection = self._own.connection
        except AttributeError:
            return self._connect()
        return connection

    def _connect(self) -> Connection:
        with self._lock:
            if self._closed:
                raise ValueError(f"{self._path} is closed")
            for ended in [pair for pair in self._open if not pair[0].is_alive()]:
                self._open.remove(ended)
                ended[1].close()
            connection = self._in_journal(time.monotonic() + min(self._wait, LONGEST_CHANGE))
            self._open.append((threading.current_thread(), connection))
            self._own.connection = connection
            return connection

    def _in_journal(self, until: float) -> Connection:
        """A connection, the book in the journal mode of this SQLite. Programs that all change it make way in turn."""
        while True:
            connection = connect_on_any_disk(self._path, self._wait)
            try:
                if is_book(connection):  # a stranger's file is left as it is
                    set_journal(connection)
                return connection
            except BaseException as error:
                connection.close()  # while it is open nobody else can change the mode either
                if getattr(error, "sqlite_errorname", "") != "SQLITE_BUSY" or time.monotonic() > until:
                    raise
            time.sleep(PAUSE * (1 + os.getpid() % 20))

    def close(self) -> None:
        """Close every thread's connection; no thread may be using its own."""
        with self._lock:
            self._closed = True
            self._own = threading.local()
            while self._open:
                self._open.pop()[1].close()
