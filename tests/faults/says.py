"""All that a book says, and what `ledger verify` and the night say of it: whoever forges it is measured by them."""

import io
from contextlib import closing, redirect_stderr, redirect_stdout
from pathlib import Path
from random import Random
from typing import NamedTuple, TypeAlias

import click

from torqueaudit.book.book import Book
from torqueaudit.book.disclosures import DISCLOSURES
from torqueaudit.book.engine import FINDS
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import LISTS
from torqueaudit.book.outbox import OUTBOX
from torqueaudit.book.personal import PERSONAL
from torqueaudit.book.places import papers_of, photos_of
from torqueaudit.book.signing import SIGNING
from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.cli.main import cli
from torqueaudit.ledger.chain import head_of
from torqueaudit.workshop.opening import now

TABLES = ("book", "ledger", "words", *PERSONAL, FINDS, *LISTS, *SIGNING, OUTBOX, DISCLOSURES)
Said: TypeAlias = dict[str, list[str]]
PROGRAM = "fault of the program"
NOT_AUDITED = 2


class Verdict(NamedTuple):
    """Whether nothing was found to be wrong with the book, and in which words."""

    sound: bool
    says: str


def verified(book: Path, head: str, *more: str) -> Verdict:
    """`ledger verify --head HEAD`, typed in this process: what it refuses or finds, in words."""
    code, says = _typed(book, "ledger", "verify", "--head", head, *more)
    return Verdict(sound=code == 0, says=says)


def shared(book: Path, head: str) -> Verdict:
    """Verified by this process, and by three that share it; sound where nothing is found, or not the same."""
    try:
        with Book.open(book, now, Random(1)) as opened:
            one, three = (opened.verify(head_of(head), processes=processes) for processes in (1, 3))
    except BookError as error:
        return Verdict(sound=False, says=error.says)
    return Verdict(sound=not one or one != three, says=f"{one} and {three}")


def by_checkpoint(book: Path, checkpoint: str) -> Verdict:
    """`ledger verify --against CHECKPOINT`, typed in this process."""
    code, says = _typed(book, "ledger", "verify", "--against", checkpoint)
    return Verdict(sound=code == 0, says=says)


def by_night(book: Path, _head: str = "") -> Verdict:
    """`nightly`, typed in this process: a night has no paper, and goes by what lies beside the book."""
    code, says = _typed(book, "nightly")
    return Verdict(sound=code != NOT_AUDITED, says=says)


def _typed(book: Path, *words: str) -> tuple[int, str]:
    said = io.StringIO()
    try:
        with redirect_stdout(said), redirect_stderr(said):
            code = cli.main(["--book", str(book), *words], standalone_mode=False)
    except click.ClickException as error:
        return NOT_AUDITED, error.message
    return int(code or 0), said.getvalue()


def all_of(book: Path) -> Said:
    """Every row of every table that the program reads, and every paper and photo."""
    with closing(sqlite3.connect(f"{book.as_uri()}?mode=ro", uri=True)) as reader:
        reader.text_factory = bytes  # whatever they are
        said = {table: sorted(map(repr, reader.execute(f"select * from {table}"))) for table in TABLES}
    said["papers"] = [repr((each.name, each.read_bytes())) for each in sorted(papers_of(book).iterdir())]
    said["photos"] = [repr((each.name, each.read_bytes())) for each in sorted(photos_of(book).iterdir())]
    return said
