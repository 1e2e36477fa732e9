"""How a connection to a chain's database is set up, and its transactions; one connection for each thread."""

import re
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import lru_cache
from itertools import count
from typing import Any, TypeAlias

import psycopg
from psycopg.conninfo import make_conninfo
from psycopg.pq import TransactionStatus

from torqueaudit.book.address import Server
from torqueaudit.book.engine import Value
from torqueaudit.book.errors import BookError

Connection: TypeAlias = psycopg.Connection[tuple[Any, ...]]

WRITER, READER, OWNER = "torqueaudit_writer", "torqueaudit_reader", "torqueaudit_owner"
# A connection whose other end is gone is noticed within some twenty seconds.
_ALIVE: dict[str, str | int] = {
    "application_name": "torqueaudit",
    "connect_timeout": 5,
    "keepalives_idle": 10,
    "keepalives_interval": 3,
    "keepalives_count": 3,
    "tcp_user_timeout": 20_000,
}
_SITES = 0x74717561  # "tqua": the locks of this program among those of others
# Whoever connects has the rights of the role alone, whatever its login may do besides.
_SET_UP = """
    select set_config('role', $1, false), set_config('search_path', 'site', false),
        set_config('torqueaudit.site', $2, false), set_config('TimeZone', 'UTC', false),
        set_config('lock_timeout', $3, false), set_config('synchronous_commit', 'on', false)
"""
_PLACE = re.compile(r"\?([0-9]*)")


def connect(server: Server) -> Connection:
    """A connection with the rights of its login. Raises BookError for an address that is none."""
    try:
        told = make_conninfo(server.database, **_ALIVE)
    except psycopg.ProgrammingError as error:
        raise BookError(f"{server} is no address of a database ({' '.join(str(error).split())}).") from None
    return psycopg.connect(told, autocommit=True, cursor_factory=psycopg.RawCursor)


def connect_to_site(server: Server, site: str, wait: float, role: str = WRITER) -> Connection:
    """A connection that sees one site, with the rights of a role; an act waits at most so many seconds for others."""
    connection = connect(server)
    try:
        connection.execute(_SET_UP, (role, site, f"{round(wait * 1000)}ms"))
    except BaseException:
        connection.close()
        raise
    return connection


@lru_cache(maxsize=1024)
def worded(sql: str) -> str:
    """A question with this database's own places ($1) for values."""
    numbers = count(1)
    return _PLACE.sub(lambda place: f"${place[1] or next(numbers)}", sql)


def plain(values: Sequence[Value]) -> list[Value]:
    """Values as the lists hold them: yes and no are numbers, and a text of a kind of its own is a text."""
    return [int(each) if isinstance(each, int) else str(each) if isinstance(each, str) else each for each in values]


def asks_alone(connection: Connection) -> bool:
    """Whether a question would be its own transaction."""
    return connection.info.transaction_status in (TransactionStatus.IDLE, TransactionStatus.UNKNOWN)


@contextmanager
def writing(connection: Connection, site: str) -> Iterator[None]:
    """One transaction that alone writes to the site from its start: all of it is written, or nothing; or a part of it.

    Other sites write meanwhile. What is asked after the lock was taken is answered as it stands then.
    """
    if not asks_alone(connection):
        yield
        return
    connection.execute("begin")
    try:
        connection.execute("select pg_advisory_xact_lock($1, hashtext($2))", (_SITES, site))
        yield
        connection.execute("commit")
    except BaseException:
        if not asks_alone(connection):  # nothing is left to take back where the connection is lost
            connection.execute("rollback")
        raise


@contextmanager
def snapshot(connection: Connection) -> Iterator[None]:
    """One transaction in which every question sees the same state, and which leaves nothing; or the one there is.

    Whoever is writing sees the same state already: nobody else writes to the site.
    """
    if not asks_alone(connection):
        yield
        return
    connection.execute("begin isolation level repeatable read")
    try:
        yield
    finally:
        if not connection.closed:
            connection.execute("rollback")


class Connections:
    """One connection for each thread that asks, kept open."""

    def __init__(self, server: Server, site: str, wait: float) -> None:
        self._server = server
        self._site = site
        self._wait = wait
        self._lock = threading.Lock()
        self._own = threading.local()
        self._open: list[tuple[threading.Thread, Connection]] = []
        self._closed = False

    def here(self) -> Connection:
        """The calling thread's own connection; another one where it was lost."""
        connection: Connection | None = getattr(self._own, "connection", None)
        return connection if connection is not None and not connection.closed else self._connect()

    def _connect(self) -> Connection:
        with self._lock:
            if self._closed:
                raise ValueError(f"{self._server} is closed")
            for ended in [pair for pair in self._open if pair[1].closed or not pair[0].is_alive()]:
                self._open.remove(ended)
                ended[1].close()
            connection = connect_to_site(self._server, self._site, self._wait)
            self._open.append((threading.current_thread(), connection))
            self._own.connection = connection
            return connection

    def close(self) -> None:
        """Close every thread's connection; no thread may be using its own."""
        with self._lock:
            self._closed = True
            self._own = threading.local()
            while self._open:
                self._open.pop()[1].close()
