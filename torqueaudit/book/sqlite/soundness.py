"""Whether a book's file is what it should be: its mark, its tables, indexes and triggers, its pages."""

import re

from torqueaudit.book.sqlite.connection import Connection, is_book, sqlite3

_MADE = """
    select name, sql from sqlite_schema where sql is not null
    and name not in (select name from pragma_table_list where type = 'shadow')
"""
_OF_INDEX = re.compile(r"fts5: corruption|inverted index for FTS5")  # as SQLite words what its index of words lacks


def faults(connection: Connection, *, whole: bool) -> list[str]:
    """Everything wrong with the file, in sentences; what stands in its rows is left out, and pages unless `whole`."""
    made = [*application_faults(connection), *schema_faults(connection), *place_faults(connection)]
    return [*made, *page_faults(connection)] if whole else made


def application_faults(connection: Connection) -> list[str]:
    """The mark in the file that says it is a book."""
    return [] if is_book(connection) else ["The file's application id is not a book's."]


def place_faults(connection: Connection) -> list[str]:
    """Entries that do not lie in the file at the number that they have."""
    try:
        placed = connection.execute("select count(*), min(position), max(position) from ledger").fetchone()
    except sqlite3.DatabaseError:  # which the check of the pages tells
        return []
    entries = placed[0]
    sound = placed in {(0, None, None), (entries, 1, entries)}
    return [] if sound else ["Entries lie in the file at other places than their numbers."]


def schema_faults(connection: Connection) -> list[str]:
    """Tables, indexes, triggers and views that are missing, changed or not the program's own."""
    from torqueaudit.book.sqlite.migrations import wanted_schema  # slow to load, and only a verification needs it

    wanted = {name: sql for name, _, sql in wanted_schema()}
    found = dict(connection.execute(_MADE))
    missing = [f"{name} is missing from the file." for name in sorted(wanted.keys() - found.keys())]
    strange = [f"{name} in the file was not made by this program." for name in sorted(found.keys() - wanted.keys())]
    both = sorted(wanted.keys() & found.keys())
    return missing + strange + [f"{name} in the file was changed." for name in both if wanted[name] != found[name]]


def page_faults(connection: Connection, check: str = "integrity_check", most: int = 20) -> list[str]:
    """What SQLite's own check of pages, indexes and rows says, in one sentence; it looks for `most` faults."""
    try:
        rows = [row[0] for row in connection.execute(f"pragma {check}({most})")]
        says = [line for row in rows for line in row.splitlines() if line and not line.startswith("***")]
    except sqlite3.DatabaseError as error:
        says = [str(error)]
    if says == ["ok"]:
        return []
    if all(_OF_INDEX.search(each) for each in says):
        return ["The index by which words are found is damaged; rebuild the lists."]
    number = f"{len(says)} faults{' or more' if len(says) >= most else ''}, first" if len(says) > 1 else "a fault"
    first = " ".join("".join(sign if sign.isprintable() else " " for sign in "".join(says[:1])).split())
    return [f"The file is damaged: SQLite's check of its pages found {number}: {first}."]
