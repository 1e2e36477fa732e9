"""The upkeep of the cross-job lists: rows worked out from one subject's entries, so that asking is quick.

Whatever they say is in the ledger too; `rebuild` writes them anew and `faults` compares.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import compress, groupby
from operator import ne
from typing import Any, NamedTuple, TypeAlias

from torqueaudit.book.engine import ALL, Engine, Value
from torqueaudit.ledger.entry import Entry, entry_of

Row: TypeAlias = dict[str, Value]
Rows: TypeAlias = Mapping[str, Sequence[Mapping[str, Value]]]
RowsOf: TypeAlias = Callable[[str, Sequence[Entry]], Rows]
_Values: TypeAlias = list[Value]

LISTS = (
    "jobs",
    "attention",
    "needs",
    "fastener_events",
    "odometer",
    "visits",
    "measurements",
    "parts",
    "concessions",
    "rechecks_done",
    "marks_disturbed",
    "sign_offs",
    "wrenches",
    "people",
    "vehicles",
    "procedures",
)


class _Table(NamedTuple):
    """A list's columns in order, the others than the subject, which a row may give, and two statements of every act."""

    columns: tuple[str, ...]
    others: tuple[str, ...]
    given: frozenset[str]
    kept: str
    insert: str


class Lists:
    """Keeps the list tables equal to what `rows_of` says of each subject's entries.

    `rows_of` names every list that a subject of that noun can ever stand in, also when it has no row there now: the
    lists it does not name are not looked at when an entry is appended.
    """

    def __init__(self, rows_of: RowsOf) -> None:
        self.rows_of = rows_of
        self._tables: dict[str, _Table] = {}

    def refresh(self, engine: Engine, subject: str, entries: Sequence[Entry]) -> None:
        """Write what differs in one subject's rows. The caller is writing."""
        for table, rows in self._wanted(engine, subject, entries).items():
            kept = self._kept(engine, table, subject)
            for (rowid, *old), new in zip(kept, rows, strict=False):
                if old != new:
                    self._change(engine, table, rowid, old, new)
            for rowid, *_ in kept[len(rows) :]:
                engine.run(f"delete from {table} where rowid = ?", (rowid,))
            self._insert(engine, table, rows[len(kept) :])

    def rebuild(self, engine: Engine) -> None:
        """Empty every list and write it anew from the whole ledger. The caller is writing."""
        for table in LISTS:
            engine.run(f"delete from {table}")
        for subject, entries in by_subject(engine):
            self.lay_out(engine, subject, entries)

    def lay_out(self, engine: Engine, subject: str, entries: Sequence[Entry]) -> None:
        """Write one subject's rows where there are none of it yet."""
        for table, rows in self._wanted(engine, subject, entries).items():
            self._insert(engine, table, rows)

    def faults(self, engine: Engine, after: int = 0) -> list[str]:
        """Where the lists differ from the ledger, in sentences; with `after`, on what has an entry after that one."""
        faults: list[str] = []
        if after:
            for subject in sorted({entry_of(text).subject for text, _ in engine.texts(engine.site, after + 1, ALL)}):
                faults += self._faults_of(engine, subject, [entry_of(text) for text in engine.texts_of(subject, 0)])
            return faults
        return [*self.differences(engine), *self.strays(engine)]

    def differences(self, engine: Engine, first: str = "", until: str | None = None) -> Iterator[str]:
        """Where the lists differ from the ledger on subjects from one on, up to another that is left out."""
        for subject, entries in by_subject(engine, first, until):
            yield from self._faults_of(engine, subject, entries)

    def strays(self, engine: Engine) -> Iterator[str]:
        """What the lists hold of subjects that the ledger does not know."""
        known = set(engine.subjects())
        for table in LISTS:
            strays = {subject for (subject,) in engine.rows(f"select distinct subject from {table}")} - known
            says = f"The list {table} holds {{}}, which the ledger does not know; rebuild the lists."
            yield from map(says.format, sorted(strays))

    def _faults_of(self, engine: Engine, subject: str, entries: Sequence[Entry]) -> Iterator[str]:
        wanted = self._wanted(engine, subject, entries)
        for table in LISTS:
            if [row for _, *row in self._kept(engine, table, subject)] != wanted.get(table, []):
                yield f"The list {table} differs from the ledger on {subject}; rebuild the lists."

    def _wanted(self, engine: Engine, subject: str, entries: Sequence[Entry]) -> dict[str, list[_Values]]:
        wanted = {}
        for name, rows in self.rows_of(subject, entries).items():
            table = self._table(engine, name)
            wanted[name] = [_values(name, table, subject, row) for row in rows]
        return wanted

    def _kept(self, engine: Engine, name: str, subject: str) -> list[tuple[Any, ...]]:
        """The rows of a subject, each behind its number in the table."""
        return list(engine.rows(self._table(engine, name).kept, (subject,)))

    def _change(self, engine: Engine, name: str, rowid: int, old: _Values, new: _Values) -> None:
        """Set only the columns that differ: every other index stays as it is."""
        columns = self._table(engine, name).columns
        set_to = dict(compress(zip(columns, new, strict=True), map(ne, old, new)))
        setting = ", ".join(f'"{column}" = ?' for column in set_to)
        engine.run(f"update {name} set {setting} where rowid = ?", (*set_to.values(), rowid))

    def _insert(self, engine: Engine, name: str, rows: Sequence[_Values]) -> None:
        for row in rows:
            engine.run(self._table(engine, name).insert, row)

    def _table(self, engine: Engine, name: str) -> _Table:
        if not self._tables:
            self._tables = {each: _table(each, engine.columns(each)) for each in LISTS}
        if name not in self._tables:
            raise ValueError(f"there is no list {name}")
        return self._tables[name]


def by_subject(engine: Engine, first: str = "", until: str | None = None) -> Iterator[tuple[str, list[Entry]]]:
    """Subjects with their entries in order, one subject in memory at a time: all, or from one on up to another."""
    for subject, own in groupby(map(entry_of, engine.texts_by_subject(first, until)), key=lambda entry: entry.subject):
        yield subject, list(own)


def _table(name: str, columns: tuple[str, ...]) -> _Table:
    named, places = ", ".join(f'"{column}"' for column in columns), ", ".join("?" * len(columns))
    return _Table(
        columns,
        others=columns[1:],
        given=frozenset(columns),
        kept=f"select rowid, {named} from {name} where subject = ? order by rowid",
        insert=f"insert into {name} ({named}) values ({places})",
    )


def _values(name: str, table: _Table, subject: str, row: Mapping[str, Value]) -> _Values:
    if not row.keys() <= table.given:
        raise ValueError(f"{subject}: the list {name} has no column {min(row.keys() - table.given)}")
    return [subject, *map(row.get, table.others)]
