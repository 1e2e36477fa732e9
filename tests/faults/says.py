"""All that a book says, and what `ledger verify` says of it: whoever damages or forges it is measured by both."""

import io
from contextlib import closing, redirect_stderr, redirect_stdout
from pathlib import Path
from typing import NamedTuple, TypeAlias

import click

from torqueaudit.book.lists.upkeep import LISTS
from torqueaudit.book.places import papers_of
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.cli.main import cli

TABLES = ("book", "ledger", "words", "personal", "personal_written", *LISTS)
Said: TypeAlias = dict[str, list[str]]
PROGRAM = "fault of the program"


class Verdict(NamedTuple):
    """Whether `ledger verify` ends with 0, and its words."""

    sound: bool
    says: str


def verified(book: Path, head: str, *more: str) -> Verdict:
    """`ledger verify --head HEAD`, typed in this process: what it refuses or finds, in words."""
    said = io.StringIO()
    words = ["--book", str(book), "ledger", "verify", "--head", head, *more]
    try:
        with redirect_stdout(said), redirect_stderr(said):
            code = cli.main(words, standalone_mode=False)
    except click.ClickException as error:
        return Verdict(sound=False, says=error.message)
    return Verdict(sound=not code, says=said.getvalue())


def all_of(book: Path) -> Said:
    """Every row of every table that the program reads, and every paper."""
    with closing(sqlite3.connect(f"{book.as_uri()}?mode=ro", uri=True)) as reader:
        reader.text_factory = bytes  # whatever they are
        said = {table: sorted(map(repr, reader.execute(f"select * from {table}"))) for table in TABLES}
    said["papers"] = [repr((each.name, each.read_bytes())) for each in sorted(papers_of(book).iterdir())]
    return said
