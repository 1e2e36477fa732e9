"""Puts a ledger that is kept here into a fresh book and prints what the program shows of it, judged at the day it says.

    python tests/ledgers/show.py tests/ledgers/NAME FOLDER

The book is made in FOLDER, which must be empty.
"""

import json
import lzma
import os
import shutil
import sys
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from random import Random
from typing import Any

import click

from torqueaudit.book.book import Book
from torqueaudit.book.copies.making import fill
from torqueaudit.book.places import papers_of, photos_of
from torqueaudit.book.words import WordsRow
from torqueaudit.cli import job_sheet, tightening
from torqueaudit.cli.nightly import print_night
from torqueaudit.cli.wrench_sheet import print_rows, print_sheet
from torqueaudit.ledger.entry import hash_of
from torqueaudit.workshop.door.ledger import faults
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.passes import show_tightenings
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.wrenches.view import list_wrenches, show_wrench

BOOK = Path("yard.book")  # in the folder that is entered, so that no path of a machine is shown


def load(kept: Path, head: dict[str, Any]) -> None:
    """Write the given entries as they are; the ledger's own triggers refuse any that does not follow the one before.

    Entries of before free words lay beside the ledger have none there, and names and plates are not kept.
    """
    documents = lines(kept / "entries.jsonl.xz")
    words = lines(kept / "words.jsonl.xz") if (kept / "words.jsonl.xz").exists() else []
    with Book.new(BOOK, head["site"], lambda: datetime.fromisoformat(head["at"]), Random(1)) as book:
        rows = (WordsRow(**json.loads(row)) for row in words)
        fill(book, zip(documents, map(hash_of, documents), strict=True), rows, ())
    shutil.copytree(kept / "papers", papers_of(BOOK))
    if (kept / "photos").exists():
        shutil.copytree(kept / "photos", photos_of(BOOK))


def lines(file: Path) -> list[str]:
    """The lines of a file that `add.py` kept."""
    return lzma.decompress(file.read_bytes()).decode().splitlines()


def show(workshop: Workshop, head: dict[str, Any]) -> None:
    """Each answer below the command that gives it, as a session at the bench."""
    for command, answer in answers(workshop, head):
        click.echo(f"$ torqueaudit {command}")
        for line in answer:
            click.echo(line)


def answers(workshop: Workshop, head: dict[str, Any]) -> Iterator[tuple[str, Iterator[str]]]:
    """Commands with the lines that each answers; those that print by themselves have printed when theirs is asked."""
    yield f"ledger verify --head {head['head']}", iter(faults(workshop, head["head"]) or ["sound"])
    for job in head["jobs"]:
        yield f"job show {job}", job_sheet.lines_of(show_job(workshop, job))
    for job, fastener in head["tightenings"]:
        yield f"tightening show {job} {fastener}", tightening.lines_of(show_tightenings(workshop, job, fastener))
    yield "wrench list", printed(print_rows, list_wrenches(workshop))
    for wrench in head["wrenches"]:
        yield f"wrench show {wrench}", printed(print_sheet, show_wrench(workshop, wrench))
    for night in head["nights"]:
        yield f"nightly --date {night}", printed(print_night, night_of(workshop, date.fromisoformat(night)))


def printed(printer: Any, view: object) -> Iterator[str]:
    """No line to print any more, once the printer has."""
    printer(view)
    yield from ()


def main(kept: Path, folder: Path) -> None:
    """Load and show."""
    head = json.loads((kept / "head.json").read_text(encoding="utf-8"))
    os.chdir(folder)
    load(kept, head)
    moment = datetime.fromisoformat(head["at"])
    with open_workshop(BOOK, clock=lambda: moment, chance=Random(1)) as workshop:
        show(workshop, head)


if __name__ == "__main__":
    main(Path(sys.argv[1]).resolve(), Path(sys.argv[2]))
