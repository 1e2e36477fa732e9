"""Whether a book is what it should be: the chain, the stored texts, the triggers, the lists, the file, the clock."""

from collections.abc import Iterator

from torqueaudit.book.engine import Connection, is_book, sqlite3
from torqueaudit.book.lists import Lists
from torqueaudit.ledger.chain import Head, chain_faults, form_faults, held_against

_ROWS = "select cast(document as blob), hash from ledger order by position"
_MADE = "select name, sql from sqlite_schema where type in ('table', 'index', 'trigger') and sql is not null"


def faults(connection: Connection, site: str, lists: Lists, printed: Head | None) -> list[str]:
    """Everything wrong with the book, in sentences. The caller holds one read transaction.

    A ledger that is itself damaged is not compared with the lists: what they should hold is then unknown.
    """
    file = [*application_faults(connection), *schema_faults(connection), *file_faults(connection)]
    head, chain = chain_faults(site, connection.execute(_ROWS))
    if printed is not None:
        chain += held_against(printed, site, head, hash_at(connection, printed.sequence))
    ledger = chain + form_faults(connection.execute("select document, hash from ledger order by position"))
    if ledger:
        return [*file, *ledger, "The lists were not compared, because the ledger itself is damaged."]
    return [*file, *lists.faults(connection, site)]


def chain_of(connection: Connection, site: str) -> tuple[Head, list[str]]:
    """The head reached by walking the chain alone, and what is wrong with it."""
    return chain_faults(site, connection.execute(_ROWS))


def hash_at(connection: Connection, sequence: int) -> str | None:
    """The stored hash of an entry of this book's one site, where position and sequence are the same."""
    row = connection.execute("select hash from ledger where position = ?", (sequence,)).fetchone()
    return None if row is None else str(row[0])


def application_faults(connection: Connection) -> list[str]:
    """The mark in the file that says it is a book."""
    return [] if is_book(connection) else ["The file's application id is not a book's."]


def schema_faults(connection: Connection) -> list[str]:
    """Tables, indexes and triggers that are missing, changed or not the program's own."""
    wanted, found = dict(_wanted_schema()), dict(connection.execute(_MADE))
    missing = [f"{name} is missing from the file." for name in sorted(wanted.keys() - found.keys())]
    strange = [f"{name} in the file was not made by this program." for name in sorted(found.keys() - wanted.keys())]
    both = sorted(wanted.keys() & found.keys())
    return missing + strange + [f"{name} in the file was changed." for name in both if wanted[name] != found[name]]


def _wanted_schema() -> Iterator[tuple[str, str]]:
    from sqlite_utils import Database  # slow to load, and only a verification needs it

    from torqueaudit.book.migrations import migrations

    fresh = sqlite3.connect(":memory:", isolation_level=None)
    try:
        migrations.apply(Database(fresh))
        yield from fresh.execute(_MADE).fetchall()
    finally:
        fresh.close()


def file_faults(connection: Connection) -> list[str]:
    """What SQLite's own check of pages, indexes and rows says."""
    try:
        says = [row[0] for row in connection.execute("pragma integrity_check(20)")]
    except sqlite3.OperationalError as error:
        says = [str(error)]
    return [] if says == ["ok"] else [f"The file is damaged: {line}." for line in says]


def clock_remarks(connection: Connection, site: str) -> list[str]:
    """Entries recorded earlier than the one before them: a clock set back is told for ever, and is no damage.

    See decision 0009.
    """
    late, says = "", []
    rows = connection.execute("select sequence, recorded_at from ledger where site = ? order by sequence", (site,))
    for sequence, recorded_at in rows:
        if recorded_at < late:
            says.append(f"The clock was set back before entry {sequence}: from {late} to {recorded_at}.")
        late = recorded_at
    return says
