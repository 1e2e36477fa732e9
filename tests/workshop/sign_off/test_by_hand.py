"""A sign-off held against one statement that works the same out of the ledger, by nothing of the program's code."""

import importlib.util
import json
import lzma
from collections.abc import Iterator, Sequence
from datetime import date, datetime, timedelta
from pathlib import Path
from random import Random
from types import ModuleType

import pytest

from torqueaudit.book import queries
from torqueaudit.book.book import Book
from torqueaudit.book.copies.making import fill
from torqueaudit.book.words import WordsRow
from torqueaudit.ledger.entry import Entry, hash_of, stamp
from torqueaudit.model.job.record import Job, fold_record
from torqueaudit.model.sign_off.days import Days
from torqueaudit.model.sign_off.of_job import RESTS_ON, Told, named_by, signed_job
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.door.workshop import Workshop
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


def weeks(workshop: Workshop) -> Iterator[tuple[date, date]]:
    """Each week in which something was recorded, from its Monday; then each day alone."""
    days = sorted(
        {workshop.local_day(datetime.fromisoformat(entry.recorded_at)) for entry, _ in workshop.book.ledger()}
    )
    for monday in sorted({day - timedelta(days=day.weekday()) for day in days}):
        yield monday, monday + timedelta(days=6)
    yield from ((day, day) for day in dict.fromkeys(days))


@pytest.fixture(params=KEPT, ids=lambda kept: kept.name)
def kept(request: pytest.FixtureRequest, tmp_path: Path, installed_plugins: Plugins) -> Iterator[Workshop]:
    """The workshop of a kept ledger."""
    folder: Path = request.param
    head, documents = json.loads((folder / "head.json").read_text()), lines(folder / "entries.jsonl.xz")
    moment = datetime.fromisoformat(head["at"])
    with Book.new(tmp_path / "yard.book", head["site"], lambda: moment, Random(1)) as book:
        rows = (WordsRow(**json.loads(row)) for row in lines(folder / "words.jsonl.xz"))
        fill(book, zip(documents, map(hash_of, documents), strict=True), rows, ())
    with open_workshop(tmp_path / "yard.book", clock=lambda: moment, plugins=installed_plugins) as workshop:
        yield workshop


def test_every_week_and_every_day_of_a_kept_ledger_is_told_as_the_statement_tells_it(
    kept: Workshop, by_hand: ModuleType
) -> None:
    """Who tightened, checked, released and handed over what, what was conceded and struck, and what came late."""
    settings, jobs = kept.settings, set[str]()
    for first, last in weeks(kept):
        days = Days(first, last, settings.timezone)
        told = sign_off_of(kept, first, last)
        asked = (stamp(days.start), stamp(days.end), settings.late_minutes)
        assert [] == by_hand.differences(told, kept.book.rows(by_hand.BY_HAND, *asked)), (first, last)
        jobs |= {job.number for job in told.jobs}
    assert len(jobs) > 1


def test_what_a_sign_off_leaves_out_of_a_job_changes_nothing_that_it_tells(kept: Workshop) -> None:
    """Every job of the ledger, as it stands at its end, folded from all of its entries and from some."""
    days = Days(date(2000, 1, 1), kept.today(), kept.settings.timezone)
    rows = queries.jobs_list(kept.book)
    for row in rows:
        entries = kept.book.entries(f"job/{row.job}")
        alone = [entry for entry in entries if entry.what in RESTS_ON]
        whole, some = (signed_job(told_of(kept, each, entries), days, 720) for each in (entries, alone))
        assert whole == some
    assert len(rows) > 1


def told_of(workshop: Workshop, folded: Sequence[Entry], entries: Sequence[Entry]) -> Told:
    record = fold_record(folded)
    job = Job(record, workshop.procedure_of(record))
    known = {entry.sequence: entry for entry in entries}
    return Told(job=job, named=named_by(job.procedure), tag="", entries=known, since=())
