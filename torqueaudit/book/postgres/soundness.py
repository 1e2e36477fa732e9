"""Whether a chain's database still has what guards its books: tables, triggers, and who may see which rows."""

from torqueaudit.book.postgres.connection import Connection

GUARDS = ("ledger_next_only", "ledger_no_change", "ledger_no_truncate")
_TABLES = "select relname, relrowsecurity from pg_class where relnamespace = 'chain'::regnamespace and relkind = 'r'"
_VIEWS = "select relname from pg_class where relnamespace = 'site'::regnamespace and relkind = 'v'"
_TRIGGERS = "select tgname from pg_trigger where tgrelid = to_regclass('chain.ledger') and tgenabled in ('O', 'A')"
_OPEN = ("made", "sites", "logins")  # of no site


def faults(connection: Connection) -> list[str]:
    """What is missing or put aside, in sentences."""
    from torqueaudit.book.postgres.making import tables_of  # read only where somebody verifies

    wanted = tables_of()
    tables: dict[str, bool] = dict(connection.execute(_TABLES).fetchall())
    views = {name for (name,) in connection.execute(_VIEWS)}
    guards = {name for (name,) in connection.execute(_TRIGGERS)}
    return [
        *(f"{name} is missing from the database." for name in sorted(wanted - tables.keys())),
        *(f"The view of {name} is missing from the database." for name in sorted(wanted - {*_OPEN, *views})),
        *(f"The guard {name} of the ledger is missing, or put aside." for name in GUARDS if name not in guards),
        *(
            f"Whoever works for one site sees {name} of all."
            for name, hidden in sorted(tables.items())
            if name in wanted and name not in _OPEN and not hidden
        ),
    ]
