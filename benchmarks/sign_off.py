"""What does the sign-off of a week cost in a book of a hundred thousand jobs, against SQL written by hand for it?

    python benchmarks/sign_off.py [JOBS] [FOLDER]

Two books are made as scale.py makes them, of 1,000 jobs and of JOBS (10,000 unless told), with as many jobs a year as
there share their wrenches, so that a week in the middle holds the 24 that are copied at once. A book stays in FOLDER
where one is named, and one that is there is taken as it is. Measured is the week with its JSON, its CSV and the page
that is set on paper, without the setting. The floor is these three of the same week, and one statement on a bare
connection that gives the same of the same jobs: who tightened, checked, released and handed over what, with the words
of concessions and strikes; both are held against each other. Told beside it is the ratio to the bare statement alone,
which checks no entry and words nothing. All is time of the processor, the middle of several times; the first time is
that of a book that has just been opened.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import NamedTuple

from processor import milliseconds
from scale import JOBS_OF_A_YEAR, SMALL, Clock, filled
from sign_off_by_hand import BY_HAND, differences

from torqueaudit.book.sqlite.connection import sqlite3
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.act import Say
from torqueaudit.model.shown.sign_off import SignOff
from torqueaudit.model.sign_off.days import Days
from torqueaudit.reports.sign_off.files import FORMS
from torqueaudit.reports.sign_off.page import sign_off_html
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.sign_off.sign_off import sign_off_of

LARGE = 10_000
MOST_RATIO, MOST_MS, MOST_GROWTH = 2.0, 100.0, 1.3
AT_ONCE = 24
APART = timedelta(days=365) * AT_ONCE / JOBS_OF_A_YEAR
RENDERED: tuple[Callable[[SignOff], object], ...] = (
    sign_off_html,
    *(make for ending, make in FORMS if ending != "pdf"),
)


class Took(NamedTuple):
    """Milliseconds, and how many jobs the week holds."""

    sign_off: float
    first: float
    by_hand: float
    rendering: float
    jobs: int

    @property
    def ratio(self) -> float:
        """Of the whole to what is written by hand and the rendering."""
        return (self.sign_off + self.rendering) / (self.by_hand + self.rendering)


def measured(path: Path) -> Took:
    """The week in the middle of a book that holds something.

    A copy is recorded at once, so that all of it came late; for what is timed the workshop calls that late which comes
    a month later, as most entries of a workshop are recorded when they happen.
    """
    with open_workshop(path, chance=Random(2)) as workshop:
        days = week_of(workshop)
    clock = Clock(days.end + timedelta(days=365))
    with (
        closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as bare,
        open_workshop(path, clock=clock.now) as workshop,
    ):
        bare.execute("pragma cache_size = -64000")
        for minutes in (720, 43_200):
            settle(workshop, {"late_minutes": minutes}, Say("P-1"))
            asked = (stamp(days.start), stamp(days.end), minutes)
            told = sign_off_of(workshop, days.first, days.last)
            if differ := differences(told, bare.execute(BY_HAND, asked).fetchall()):
                raise AssertionError(f"the program and the statement differ: {differ[:5]}")
    with closing(sqlite3.connect(f"file:{path}?mode=ro", uri=True)) as bare:
        by_hand = milliseconds(lambda: bare.execute(BY_HAND, asked).fetchall())
    with open_workshop(path, clock=clock.now, chance=Random(2)) as workshop:
        start = time.process_time()
        told = sign_off_of(workshop, days.first, days.last)
        first = (time.process_time() - start) * 1e3
        took = milliseconds(lambda: sign_off_of(workshop, days.first, days.last))
    rendering = milliseconds(lambda: [make(told) for make in RENDERED])
    return Took(sign_off=took, first=first, by_hand=by_hand, rendering=rendering, jobs=len(told.jobs))


def week_of(workshop: Workshop) -> Days:
    """Seven days from the one of a release in the middle of the book."""
    asked = "select recorded_at from sign_offs order by recorded_at limit 1 offset (select count(*) / 2 from sign_offs)"
    day = date.fromisoformat(workshop.book.rows(asked)[0][0][:10])
    return Days(day, day + timedelta(days=6), workshop.settings.timezone)


def made(folder: Path, jobs: int) -> Path:
    """A book of so many jobs in a folder, made where none is there yet."""
    path = folder / f"{jobs}" / "yard.book"
    if not path.exists():
        filled(path.parent, jobs, APART)
    return path


def main() -> int:
    """Print each figure; 1 when one lies above its limit."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("jobs", nargs="?", type=int, default=LARGE)
    asked.add_argument("where", nargs="?", type=Path, help="a folder in which the books stay")
    told = asked.parse_args()
    found = []
    with tempfile.TemporaryDirectory() as folder:
        for jobs in (SMALL, told.jobs):
            took = measured(made(told.where or Path(folder), jobs))
            found.append(took)
            print(
                f"{jobs} jobs, {took.jobs} in the week: sign-off {took.sign_off:.1f} ms (at first {took.first:.1f} ms, "
                f"limit {MOST_MS:.0f} ms), its forms {took.rendering:.1f} ms, by hand {took.by_hand:.1f} ms; "
                f"ratio {took.ratio:.2f}, limit {MOST_RATIO}; to the bare statement {took.sign_off / took.by_hand:.1f}",
                flush=True,
            )
    growth = found[1].sign_off / found[0].sign_off
    print(f"growth {growth:.2f}, limit {MOST_GROWTH}")
    return int(growth > MOST_GROWTH or any(each.ratio > MOST_RATIO or each.first > MOST_MS for each in found))


if __name__ == "__main__":
    sys.exit(main())
