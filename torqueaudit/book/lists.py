"""The cross-job lists: rows worked out from one subject's entries, kept beside the ledger so that asking is quick.

Whatever they say is in the ledger too; `rebuild` writes them anew and `list_faults` compares.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import TypeAlias

from torqueaudit.book.engine import Connection
from torqueaudit.ledger.entry import Entry, entry_of

Value: TypeAlias = str | int | None
Rows: TypeAlias = Mapping[str, Sequence[Mapping[str, Value]]]
RowsOf: TypeAlias = Callable[[str, Sequence[Entry]], Rows]
_Tuple: TypeAlias = tuple[Value, ...]

LISTS = (
    "jobs",
    "attention",
    "needs",
    "fastener_events",
    "odometer",
    "measurements",
    "parts",
    "concessions",
    "wrenches",
    "people",
    "vehicles",
    "procedures",
)


class Lists:
    """Keeps the list tables equal to what `rows_of` says of each subject's entries.

    `rows_of` names every list that a subject of that noun can ever stand in, also when it has no row there now: the
    lists it does not name are not looked at when an entry is appended.
    """

    def __init__(self, rows_of: RowsOf) -> None:
        self._rows_of = rows_of
        self._columns: dict[str, tuple[str, ...]] = {}

    def refresh(self, connection: Connection, subject: str, entries: Sequence[Entry]) -> None:
        """Write what differs in one subject's rows. The caller holds the write lock."""
        for table, rows in self._wanted(connection, subject, entries).items():
            kept = self._kept(connection, table, subject)
            for (rowid, old), new in zip(kept, rows, strict=False):
                if old != new:
                    self._change(connection, table, rowid, old, new)
            gone = [(rowid,) for rowid, _ in kept[len(rows) :]]
            if gone:
                connection.executemany(f"delete from {table} where rowid = ?", gone)
            self._insert(connection, table, rows[len(kept) :])

    def rebuild(self, connection: Connection, site: str) -> None:
        """Empty every list and write it anew from the whole ledger. The caller holds the write lock."""
        for table in LISTS:
            connection.execute(f"delete from {table}")
        for subject, entries in by_subject(connection, site):
            for table, rows in self._wanted(connection, subject, entries).items():
                self._insert(connection, table, rows)

    def faults(self, connection: Connection, site: str) -> list[str]:
        """Where the lists differ from the ledger, in sentences."""
        faults: list[str] = []
        for subject, entries in by_subject(connection, site):
            wanted = self._wanted(connection, subject, entries)
            faults.extend(
                f"The list {table} differs from the ledger on {subject}; rebuild the lists."
                for table in LISTS
                if [row for _, row in self._kept(connection, table, subject)] != wanted.get(table, [])
            )
        known = "select subject from ledger where number = 1"
        for table in LISTS:
            strays = connection.execute(f"select subject from {table} except {known}")
            says = f"The list {table} holds {{}}, which the ledger does not know; rebuild the lists."
            faults.extend(says.format(subject) for (subject,) in strays)
        return faults

    def _wanted(self, connection: Connection, subject: str, entries: Sequence[Entry]) -> dict[str, list[_Tuple]]:
        wanted = {}
        for table, rows in self._rows_of(subject, entries).items():
            columns = self._columns_of(connection, table)
            wanted[table] = [_tuple(table, columns, subject, row) for row in rows]
        return wanted

    def _kept(self, connection: Connection, table: str, subject: str) -> list[tuple[int, _Tuple]]:
        asked = f"select rowid, * from {table} where subject = ? order by rowid"
        return [(row[0], row[1:]) for row in connection.execute(asked, (subject,))]

    def _change(self, connection: Connection, table: str, rowid: int, old: _Tuple, new: _Tuple) -> None:
        """Set only the columns that differ: every other index stays as it is."""
        columns = self._columns_of(connection, table)
        set_to = {column: after for column, before, after in zip(columns, old, new, strict=True) if before != after}
        setting = ", ".join(f'"{column}" = ?' for column in set_to)
        connection.execute(f"update {table} set {setting} where rowid = ?", (*set_to.values(), rowid))

    def _insert(self, connection: Connection, table: str, rows: Sequence[_Tuple]) -> None:
        if rows:
            places = ", ".join("?" * len(rows[0]))
            connection.executemany(f"insert into {table} values ({places})", rows)

    def _columns_of(self, connection: Connection, table: str) -> tuple[str, ...]:
        if not self._columns:
            told = "select name from pragma_table_info(?) order by cid"
            self._columns = {name: tuple(row[0] for row in connection.execute(told, (name,))) for name in LISTS}
        if table not in self._columns:
            raise ValueError(f"there is no list {table}")
        return self._columns[table]


def by_subject(connection: Connection, site: str) -> Iterator[tuple[str, list[Entry]]]:
    """Every subject with its entries in order, one subject in memory at a time."""
    documents = connection.execute("select document from ledger where site = ? order by subject, number", (site,))
    entries = (entry_of(document) for (document,) in documents)
    for subject, own in groupby(entries, key=lambda entry: entry.subject):
        yield subject, list(own)


def _tuple(table: str, columns: tuple[str, ...], subject: str, row: Mapping[str, Value]) -> _Tuple:
    if not row.keys() <= set(columns):
        raise ValueError(f"{subject}: the list {table} has no column {min(row.keys() - columns)}")
    return (subject, *map(row.get, columns[1:]))
