"""What does a night cost in a book of a hundred thousand jobs, against its bare SQL and the rendering of its report?

    python benchmarks/night.py [JOBS]

Two books are made as scale.py makes them, of 1,000 jobs and of JOBS (10,000 unless told); what is flagged in them is
the demo's, so it is the same in both. Measured is a night between two that judge everything on the road, which is
every night but one in a week, with its report in four forms. The floor is every statement that such a night runs, run
again by a bare connection, and the rendering of the same report. Told is the time of the processor. A book of 1,000
jobs would be verified whole each night; here both are verified as a large one is. `today` is told beside it, and what
a night that judges everything takes.
"""

import argparse
import random
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path
from typing import NamedTuple

from processor import milliseconds
from scale import SMALL, Clock, filled

from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.book.sqlite.engine import SQLiteEngine
from torqueaudit.model.act import Say
from torqueaudit.model.shown.night import Night
from torqueaudit.reports.files import FORMS
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.night.today import today_of
from torqueaudit.workshop.opening import open_workshop

LARGE = 10_000
MOST_RATIO, MOST_GROWTH = 1.5, 1.3


class Took(NamedTuple):
    """Milliseconds of the processor, and how many lines the night has."""

    night: float
    rendering: float
    statements: float
    today: float
    full: float
    lines: int

    @property
    def whole(self) -> float:
        """The night with its report."""
        return self.night + self.rendering

    @property
    def ratio(self) -> float:
        """Of the whole to its bare SQL and rendering."""
        return self.whole / (self.statements + self.rendering)


def measured(path: Path, clock: Clock) -> Took:
    """A night between two full ones, of a book that is there."""
    clock.go_on(days=1)
    with open_workshop(path, clock=clock.now, chance=random.Random(2)) as workshop:
        start = time.process_time()
        whole = night_of(workshop, each_night=0)
        full = (time.process_time() - start) * 1e3
        keep_in_full(workshop, whole, Say("night"))
        clock.go_on(days=1)
        night, statements = traced(workshop)
        return Took(
            night=milliseconds(lambda: night_of(workshop, each_night=0)),
            rendering=milliseconds(lambda: [make(night) for _, make in FORMS]),
            statements=milliseconds(lambda: run_again(path, statements)),
            today=milliseconds(lambda: today_of(workshop)),
            full=full,
            lines=sum(len(section.lines) for section in night.sections),
        )


def traced(workshop: Workshop) -> tuple[Night, list[str]]:
    """A night, and every statement that it ran, with its values."""
    statements: list[str] = []
    engine = workshop.book.engine
    if not isinstance(engine, SQLiteEngine):
        raise TypeError(f"{engine} runs no statements of SQLite")
    connection = engine.connection
    connection.set_trace_callback(statements.append)
    night = night_of(workshop, each_night=0)
    connection.set_trace_callback(None)
    return night, [each for each in statements if each.lstrip().lower().startswith(("select", "with"))]


def run_again(path: Path, statements: list[str]) -> None:
    """Run statements on a connection of its own, and fetch what they answer."""
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as bare:
        for each in statements:
            bare.execute(each).fetchall()


def main() -> int:
    """Print each figure; 1 when one lies above its limit."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("jobs", nargs="?", type=int, default=LARGE)
    told = asked.parse_args()
    found = []
    for jobs in (SMALL, told.jobs):
        with tempfile.TemporaryDirectory() as folder:
            path, clock, _ = filled(Path(folder) / "demo", jobs)
            took = measured(path, clock)
        found.append(took)
        print(
            f"{jobs} jobs, {took.lines} lines: night {took.night:.0f} ms, report {took.rendering:.0f} ms, its "
            f"statements {took.statements:.0f} ms; ratio {took.ratio:.2f}, limit {MOST_RATIO}. today {took.today:.0f} "
            f"ms; a night that judges everything {took.full / 1e3:.1f} s",
            flush=True,
        )
    growth = found[1].whole / found[0].whole
    print(f"growth {growth:.2f}, limit {MOST_GROWTH}")
    return int(growth > MOST_GROWTH or found[1].ratio > MOST_RATIO)


if __name__ == "__main__":
    sys.exit(main())
