"""A sign-off held against one statement that works the same out of the ledger, by nothing of the program's code."""

import importlib.util
import json
import lzma
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random
from types import ModuleType

import pytest

from torqueaudit.book.book import Book
from torqueaudit.book.copies.making import fill
from torqueaudit.book.words import WordsRow
from torqueaudit.ledger.entry import entry_of, hash_of, stamp
from torqueaudit.model.sign_off.days import Days
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.sign_off.sign_off import sign_off_of

ROOT = Path(__file__).parents[3]
KEPT = sorted(each.parent for each in (ROOT / "tests" / "ledgers").glob("*/head.json"))


@pytest.fixture(scope="module")
def by_hand() -> ModuleType:
    spec = importlib.util.spec_from_file_location("by_hand", ROOT / "benchmarks" / "sign_off_by_hand.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def lines(file: Path) -> list[str]:
    return lzma.decompress(file.read_bytes()).decode().splitlines() if file.exists() else []


def weeks(documents: list[str]) -> Iterator[tuple[date, date]]:
    """From the first Monday on, each week in which something was recorded; and the first day of each alone."""
    days = sorted({date.fromisoformat(entry_of(each).recorded_at[:10]) for each in documents})
    for monday in sorted({day - timedelta(days=day.weekday()) for day in days}):
        yield monday, monday + timedelta(days=6)
    yield from ((day, day) for day in days)


@pytest.mark.parametrize("kept", KEPT, ids=lambda kept: kept.name)
def test_every_week_and_every_day_of_a_kept_ledger_is_told_as_the_statement_tells_it(
    kept: Path, tmp_path: Path, by_hand: ModuleType, installed_plugins: Plugins
) -> None:
    """Who tightened, checked, released and handed over what, what was conceded and struck, and what came late."""
    head, documents = json.loads((kept / "head.json").read_text()), lines(kept / "entries.jsonl.xz")
    moment = datetime.fromisoformat(head["at"])
    with Book.new(tmp_path / "yard.book", head["site"], lambda: moment, Random(1)) as book:
        rows = (WordsRow(**json.loads(row)) for row in lines(kept / "words.jsonl.xz"))
        fill(book, zip(documents, map(hash_of, documents), strict=True), rows, ())

    with open_workshop(tmp_path / "yard.book", clock=lambda: moment, plugins=installed_plugins) as workshop:
        settings, jobs = workshop.settings, set[str]()
        for first, last in weeks(documents):
            days = Days(first, last, settings.timezone)
            told = sign_off_of(workshop, first, last)
            asked = (stamp(days.start), stamp(days.end), settings.late_minutes)
            assert [] == by_hand.differences(told, workshop.book.rows(by_hand.BY_HAND, *asked)), (first, last)
            jobs |= {job.number for job in told.jobs}
    assert len(jobs) > 1
