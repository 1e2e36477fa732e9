"""A small book with lists of its own making, so that these tests say nothing of what a job is."""

import random
import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TypeAlias

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest

START = datetime(2031, 4, 2, 9, tzinfo=UTC)
Say: TypeAlias = Callable[..., list[Entry]]
Tell: TypeAlias = Callable[[Book, str, Mapping[str, str]], None]


class Clock:
    """A clock that is set by hand."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        """The moment it is set to."""
        return self.now

    def pass_by(self, seconds: int) -> None:
        """Set it on, or back."""
        self.now += timedelta(seconds=seconds)


def small_rows(subject: str, entries: Sequence[Entry]) -> Mapping[str, Sequence[Mapping[str, str | int | None]]]:
    """A job's row and one event for each entry; a struck last entry takes its event away."""
    noun, _, key = subject.partition("/")
    if noun != "job":
        return {}
    events: list[Mapping[str, str | int | None]] = [
        {"vehicle": "V-1", "position": str(entry.said.get("text", "")), "entry": entry.sequence, "job": int(key)}
        for entry in entries
        if entry.kind == "noted.1"
    ]
    struck = sum(entry.kind == "struck.1" for entry in entries)
    row: Mapping[str, str | int | None] = {
        "job": int(key),
        "state": "open",
        "unchecked": len(events),
        "last_recorded": entries[-1].recorded_at,
    }
    return {"jobs": [row], "fastener_events": events[: len(events) - struck]}


@pytest.fixture(scope="session")
def rows_of() -> RowsOf:
    """The rows of this small book's lists."""
    return small_rows


@pytest.fixture
def clock() -> Clock:
    """The book's clock."""
    return Clock()


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Where the book lies."""
    return tmp_path / "yard.book"


@pytest.fixture(scope="session")
def empty_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new book, which nobody writes to."""
    path = tmp_path_factory.mktemp("new") / "yard.book"
    Book.new(path, "YARD", Clock(), random.Random(1), rows_of=small_rows).close()
    return path


@pytest.fixture
def book(empty_book: Path, path: Path, clock: Clock) -> Iterator[Book]:
    """A new book, open."""
    shutil.copytree(empty_book.parent, path.parent, dirs_exist_ok=True)
    with Book.open(path, clock, random.Random(1), rows_of=small_rows) as made:
        yield made


@pytest.fixture(scope="session")
def tell() -> Tell:
    """Record an act that tells what is known of a person or a vehicle from now on."""

    def told(book: Book, subject: str, fields: Mapping[str, str]) -> None:
        said = {"told": sorted(fields)}
        act = Act(f"told-{book.head().sequence}", act_digest("tell", "P-3", subject, said))
        draft = Draft(subject=subject, kind="told.1", happened_at=START, who="P-3", said=said)
        book.append(act, [draft], {}, personal={subject: fields})

    return told


@pytest.fixture
def say(book: Book) -> Say:
    """Record one act on a subject, `times` entries of it."""

    def said(
        subject: str = "job/1", text: str = "x", kind: str = "noted.1", id_: str = "", times: int = 1
    ) -> list[Entry]:
        act = Act(id_ or f"act-{book.head().sequence}", act_digest(kind, "P-3", subject, {"text": text}))
        return book.append(
            act, [Draft(subject=subject, kind=kind, happened_at=START, who="P-3", said={"text": text})] * times, {}
        )

    return said
