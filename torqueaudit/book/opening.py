"""Making a book's file, and deciding whether a file is a book this program can work with."""

from pathlib import Path

from torqueaudit.book.engine import APPLICATION_ID, SCHEMA_VERSION, Connection, connect, is_book, set_journal, writing
from torqueaudit.book.errors import BookError


def make(path: Path, site: str, wait: float) -> None:
    """Fill an empty file: schema, the site's name, and last the mark that says it is a book."""
    connection = connect(path, wait)
    try:
        set_journal(connection)
        bring_up_to_date(connection, path)
        with writing(connection):
            connection.execute("insert into book (one, site) values (1, ?)", (site,))
            connection.execute(f"pragma application_id = {APPLICATION_ID}")
    finally:
        connection.close()


def admit(connection: Connection, path: Path) -> str:
    """The site of the book; a file that is none, or of a newer program, is refused with a sentence."""
    if not is_book(connection):
        raise BookError(f"{path} is not a book; give the file that `torqueaudit new` made.")
    bring_up_to_date(connection, path)
    return str(connection.execute("select site from book").fetchone()[0])


def bring_up_to_date(connection: Connection, path: Path) -> None:
    """Apply the migrations an older book lacks; nothing is imported when there are none."""
    version = connection.execute("pragma user_version").fetchone()[0]
    if version > SCHEMA_VERSION:
        raise BookError(f"{path} was written by a newer torqueaudit; install that one to open it.")
    if version < SCHEMA_VERSION:
        from torqueaudit.book.migrations import migrate  # slow to load, needed once in a book's life

        migrate(connection)
