"""How much slower is the check of the chain than a bare scan of the same bytes? Beside it: the full check, the lists.

The ledger is written as the book writes it, but a thousand entries to an act, so that the benchmark starts soon.
"""

import random
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path

from torqueaudit.book.book import Book
from torqueaudit.book.soundness import chain_of
from torqueaudit.ledger.chain import form_faults
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest

FLOOR = 0.3
ENTRIES = 40_000
JOBS_OF_AN_ACT = 25
ENTRIES_OF_A_JOB = 40
ROUNDS = 9
NOW = datetime(2031, 4, 2, 9, tzinfo=UTC)
SAID = {"position": "axle-nut", "wrench": "W-2", "setting": "98", "unit": "N·m", "outcome": "turned, then clicked"}
JUDGED = {"applied": "98.0", "uncertainty": "3.9", "verdict": "inside", "rule": "simple", "plugin": "built in 1"}


def rows_of(subject: str, entries: Sequence[Entry]) -> Mapping[str, Sequence[Mapping[str, str | int | None]]]:
    """One row of the list of jobs, and one for each tightening."""
    job = int(subject.partition("/")[2])
    events: list[Mapping[str, str | int | None]] = [
        {
            "vehicle": "V-1",
            "position": "axle-nut",
            "happened_at": entry.happened_at,
            "job": job,
            "entry": entry.sequence,
        }
        for entry in entries
    ]
    return {"jobs": [{"job": job, "state": "open", "vehicle": "V-1"}], "fastener_events": events}


def fill(book: Book) -> None:
    """Write the ledger."""
    for batch in range(ENTRIES // (JOBS_OF_AN_ACT * ENTRIES_OF_A_JOB)):
        first = batch * JOBS_OF_AN_ACT + 1
        subjects = [f"job/{first + job}" for job in range(JOBS_OF_AN_ACT) for _ in range(ENTRIES_OF_A_JOB)]
        drafts = [
            Draft(subject=subject, kind="tightened.1", happened_at=NOW, who="P-3", said=SAID, judged=JUDGED)
            for subject in subjects
        ]
        book.append(Act(f"act-{batch}", act_digest("tighten", "P-3", subjects[0], SAID)), drafts, {})


def scan(book: Book) -> None:
    """Read every stored text with its hash and do nothing with it."""
    for _ in book.engine.rows("select document, hash from ledger order by position"):
        pass


def best(*works: Callable[[], object]) -> list[float]:
    """The least seconds each took, in rounds that take turns so that a busy machine is busy for all."""
    least = [float("inf")] * len(works)
    for _ in range(ROUNDS):
        for index, work in enumerate(works):
            start = time.perf_counter()
            work()
            least[index] = min(least[index], time.perf_counter() - start)
    return least


def once(name: str, work: Callable[[], object]) -> None:
    """Print how long one piece of work takes for each entry."""
    start = time.perf_counter()
    work()
    print(f"{name}: {(time.perf_counter() - start) / ENTRIES * 1e6:.1f} µs an entry")


def main() -> int:
    """Print the ratio and the times; 1 when the ratio lies below the floor."""
    with (
        tempfile.TemporaryDirectory(dir=sys.argv[1] if len(sys.argv) > 1 else None) as folder,
        Book.new(Path(folder) / "yard.book", "YARD", lambda: NOW, random.Random(1), rows_of=rows_of) as book,
    ):
        fill(book)
        bare, chain = best(lambda: scan(book), lambda: chain_of(book.engine))
        print(
            f"verify: bare scan {bare / ENTRIES * 1e6:.2f} µs, chain {chain / ENTRIES * 1e6:.2f} µs an entry; ", end=""
        )
        print(f"ratio {bare / chain:.2f}, floor {FLOOR}")
        once(
            "canonical form of every entry",
            lambda: form_faults(1, (text for text, _ in book.engine.texts(book.site, 1, ENTRIES))),
        )
        once("lists rebuilt", book.rebuild)
        once("everything, with lists compared", book.verify)
    return int(bare / chain < FLOOR)


if __name__ == "__main__":
    sys.exit(main())
