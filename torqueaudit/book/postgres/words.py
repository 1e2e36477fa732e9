"""What PostgreSQL says, in sentences a person can act on."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager

import psycopg

from torqueaudit.book.address import Server
from torqueaudit.book.errors import BookError, Lost, damaged
from torqueaudit.ledger.entry import NoEntry

# By the codes of errors (https://www.postgresql.org/docs/current/errcodes-appendix.html).
_SENTENCES = {
    "53100": "The disk of the database {server} is full; nothing was recorded. Free some space and do it again.",
    "53200": "The database {server} has no memory left; nothing was recorded. Do it again in a moment.",
    "53300": "The database {server} takes no more connections; nothing was recorded. Do it again in a moment.",
    "55P03": "{server} is in use by another program; nothing was recorded. Do it again in a moment.",
    "57014": "The database {server} broke off what was asked; nothing was recorded. Do it again in a moment.",
    "25006": "The database {server} may only be read; nothing was recorded. Give the one that is written.",
    "42501": "The login of {server} may not do that; whoever keeps the database lets it work for the site.",
    "28000": "The database {server} does not let this login in; look at its name, and at what the database allows.",
    "28P01": "The database {server} does not take the password of this login; give it in PGPASSWORD or a .pgpass file.",
    "3D000": "There is no database {server}; make it first, as docs/chain.md says.",
}
# Nothing of the transaction stands, and the same may be done again: it met another one, or was broken off.
_AGAIN = ("40001", "40P01")
_GONE = ("08", "57P")  # the server ended the connection, is ending or just beginning
_NOT_THERE = ("42P01", "42703", "42883", "3F000", "22P02")  # a table, a column, a function, a schema; no JSON any more


@contextmanager
def in_words(server: Server, made: Callable[[], list[str]] = list) -> Iterator[None]:
    """Turn what PostgreSQL says into a BookError; a fault of the program itself passes as it is.

    `made` gives what is wrong with the tables, in sentences: where anything is, a statement that failed is no fault of
    the program.
    """
    try:
        yield
    except (NoEntry, UnicodeDecodeError) as error:
        raise damaged(server) from error
    except psycopg.Error as error:
        raise _worded(server, error, made) from error


def _worded(server: Server, error: psycopg.Error, made: Callable[[], list[str]]) -> Exception:
    code = error.sqlstate or ""
    if code in _SENTENCES:
        return BookError(_SENTENCES[code].format(server=server))
    if code in _AGAIN or is_gone(error):
        return Lost(_lost(server, error))
    if code in _NOT_THERE and (faults := made()):
        return damaged(server, faults[0].rstrip("."))
    return error


def _lost(server: Server, error: psycopg.Error) -> str:
    """What is said where the database does not answer: whether the act in hand is recorded is not known."""
    why = " ".join(str(error.diag.message_primary or error).split())
    return f"The database {server} does not answer ({why}); look whether it runs, then whether this is recorded."


def is_gone(error: psycopg.Error) -> bool:
    """Whether the connection was lost, or none was made, rather than something refused."""
    code = error.sqlstate or ""
    return code.startswith(_GONE) or (not code and isinstance(error, psycopg.OperationalError))
