"""How an older book becomes a present one: numbered steps that are never edited once released.

Imported only when a book is behind, because sqlite_utils is slow to load. `transform()`, `add_foreign_key()` and
`add_column(fk=…)` rebuild a table and drop its triggers without a word: never use them on the ledger.
"""

from collections.abc import Iterator
from importlib.resources import files

from sqlite_utils import Database, Migrations

from torqueaudit.book.engine import SCHEMA_VERSION, Connection, sqlite3, writing

migrations = Migrations("torqueaudit")


@migrations()
def m001_book(db: Database) -> None:
    """Everything in schema.sql."""
    for statement in statements_of(files("torqueaudit.book").joinpath("schema.sql").read_text("utf-8")):
        db.conn.execute(statement)


def statements_of(text: str) -> Iterator[str]:
    """The single statements of an SQL text in which each ends at the end of a line."""
    statement = ""
    for line in text.splitlines(keepends=True):
        statement += line
        if sqlite3.complete_statement(statement):
            yield statement
            statement = ""


def migrate(connection: Connection) -> None:
    """Apply what is pending, looked at again under the lock: another process may have been quicker."""
    with writing(connection, "exclusive"):
        db = Database(connection)
        if migrations.pending(db):
            migrations.apply(db)
            connection.execute(f"pragma user_version = {SCHEMA_VERSION}")
