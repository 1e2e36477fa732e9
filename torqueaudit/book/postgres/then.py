"""A site's tables as they stood at an entry: views that hide from one connection what was recorded later.

Nothing is copied but the rows of the few subjects that somebody asks about, and nothing can be written there.
"""

from collections.abc import Iterable, Sequence

from torqueaudit.book.postgres.connection import Connection

OTHERS = "fastener_events"  # the one list in which a question is asked across vehicles: how often a wrench was used


def hide_later(connection: Connection, last: int, subjects: Sequence[str], lists: Iterable[str]) -> None:
    """Let a connection see the ledger up to an entry, and in the lists what it writes there for these subjects.

    Of other subjects it sees in `OTHERS` what stands there now of entries up to that one. The connection is in a
    transaction, which is rolled back afterwards: names that begin there are found before all others.
    """
    connection.execute('create temp table asked_about (subject text collate "C" primary key)')
    connection.execute("insert into asked_about select unnest($1::text[])", (list(subjects),))
    connection.execute(
        "create temp view ledger with (security_barrier) as"
        f" select site, sequence, document, hash, id, subject, number from site.ledger where sequence <= {last:d}"
        " group by site, sequence, document, hash, id, subject, number"  # of which no row can be written
    )
    for name in lists:
        _hide(connection, name, last)


def _hide(connection: Connection, name: str, last: int) -> None:
    """A view in the place of a list. What is inserted into it lies in a table behind it."""
    connection.execute(f"create temp table then_{name} as select * from site.{name} where false")
    if name != OTHERS:
        connection.execute(f"create temp view {name} as select * from then_{name}")
        return
    others = f"entry <= {last:d} and subject not in (select subject from asked_about)"
    connection.execute(
        f"create temp view {name} as select * from then_{name} union all select * from site.{name} where {others}"
    )
    connection.execute(
        f"create rule into_{name} as on insert to {name} do instead insert into then_{name} select new.*"
    )
