"""A book's tables as they stood at an entry: views in memory that hide from one connection what was recorded later.

Nothing is copied but the rows of the few subjects that somebody asks about, and nothing can be written there.
"""

from collections.abc import Iterable, Sequence

from torqueaudit.book.sqlite.connection import Connection

OTHERS = "fastener_events"  # the one list in which a question is asked across vehicles: how often a wrench was used


def hide_later(connection: Connection, last: int, subjects: Sequence[str], lists: Iterable[str]) -> None:
    """Let a connection see the ledger up to an entry, and in the lists what it writes there for these subjects.

    Of other subjects it sees in `OTHERS` what stands there now of entries up to that one.
    """
    connection.execute("pragma temp_store = memory")
    connection.execute("create temp table asked_about (subject text primary key) strict, without rowid")
    connection.executemany("insert into asked_about values (?)", ((each,) for each in subjects))
    connection.execute(f"create temp view ledger as select * from main.ledger where position <= {last:d}")
    for name in lists:
        _hide(connection, name, last)


def _hide(connection: Connection, name: str, last: int) -> None:
    """A view in the place of a list. What is inserted into it lies in a table behind it."""
    connection.execute(f"create temp table then_{name} as select * from main.{name} where false")
    others = f"entry <= {last:d} and subject not in (select subject from asked_about)" if name == OTHERS else "false"
    shown = f"select * from then_{name} union all select * from main.{name} where {others}"
    connection.execute(f"create temp view {name} as {shown}")
    columns = [column for (column,) in connection.execute("select name from pragma_table_info(?)", (name,))]
    values = ", ".join(f'new."{column}"' for column in columns)
    connection.execute(
        f"create temp trigger into_{name} instead of insert on {name}"
        f" begin insert into then_{name} values ({values}); end"
    )
