"""The rows of the ledger as they are walked, also where their bytes went bad on the disk."""

from collections.abc import Iterable

from torqueaudit.book.engine import ALL
from torqueaudit.book.sqlite.connection import Connection

# Of such a row either column may be nothing, or no text.
_STORED = """
    select coalesce(cast(document as blob), x''), coalesce(cast(hash as text), '') from ledger
    where position > ? and position <= ? order by position
"""


def stored(connection: Connection, after: int = 0, last: int = ALL) -> Iterable[tuple[bytes, str]]:
    """The bytes of every text behind a position, up to another, with their hash, in order; b"" where none is left."""
    return connection.execute(_STORED, (after, last))
