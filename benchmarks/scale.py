"""Does a book of a hundred thousand jobs answer as quickly as one of a thousand?

Both are made of the demo's book: jobs of one vehicle are copied again and again, each onto a vehicle of its own and
with the wrenches of its own year, as entries that the book itself writes and lists. `scale.py` compares 10,000 jobs
with 1,000 in a few minutes; `scale.py 100000` does what the limits are stated for.
"""

import argparse
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple

from torqueaudit.book import queries
from torqueaudit.book.soundness import chain_of
from torqueaudit.ledger.entry import Act, Draft, Entry, act_digest
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Opening, Tighten
from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.register.token import new_token
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.life.job_then import show_job_then
from torqueaudit.workshop.life.life import life_of
from torqueaudit.workshop.opening import open_workshop

SMALL, LARGE = 1_000, 10_000
MOST_GROWTH = 1.3
MOST_MICROSECONDS = 40.0  # to verify everything, for each entry
SAMPLES = 200
NOW = datetime(2026, 11, 20, 9, tzinfo=UTC)  # a day that has been: the demo plays none that is to come
STORY = ("job/1", "job/2", "job/6")  # a fault looked for twice, then the chain and its re-check: about 40 entries each
VEHICLE = "vehicle/V-1"
WRENCHES = ("wrench/W-1", "wrench/W-2", "wrench/W-3")
JOBS_OF_A_YEAR = 960  # so many share their wrenches
VEHICLES_OF_AN_ACT = 8
REFERS = {"of", "entry", "calibration"}  # what holds the number of another entry
PROCEDURE, FASTENER, TORQUE = "rear-wheel", "rear-axle-nut", "105 N·m"


class Clock:
    """A clock that stands still until it is told to go on."""

    def __init__(self, now: datetime) -> None:
        self.moment = now

    def now(self) -> datetime:
        """Where it stands."""
        return self.moment

    def go_on(self, **by: int) -> None:
        """Let time pass."""
        self.moment += timedelta(**by)


class Copied(NamedTuple):
    """The entries of one subject of the demo, under the number that their copy gets, with the numbers of others."""

    subject: str
    entries: Sequence[Entry]
    names: Mapping[str, str]


class Filler:
    """Copies jobs, with their vehicles and wrenches, into the book that they come from."""

    def __init__(self, workshop: Workshop, clock: Clock, apart: timedelta) -> None:
        self._workshop = workshop
        self._clock = clock
        self._apart = apart
        self._story = [workshop.book.entries(subject) for subject in STORY]
        self._vehicle = workshop.book.entries(VEHICLE)[:1]
        self._wrenches = {subject: workshop.book.entries(subject) for subject in WRENCHES}
        self._jobs = queries.counts(workshop.book).jobs
        self._names: dict[str, str] = {}
        self._places: dict[int, int] = {}

    def fill(self, jobs: int) -> None:
        """Write until the book holds so many jobs."""
        year = -1
        while self._jobs < jobs:
            copied: list[Copied] = []
            if year != self._jobs // JOBS_OF_A_YEAR:
                year = self._jobs // JOBS_OF_A_YEAR
                copied = list(self._new_wrenches(year))
            for _ in range(VEHICLES_OF_AN_ACT):
                copied.extend(self._one_vehicle())
            self._write(copied)

    def _new_wrenches(self, year: int) -> Iterator[Copied]:
        for subject, entries in self._wrenches.items():
            number = subject.partition("/")[2]
            self._names[number] = f"{number}{year:05d}"
            yield Copied(f"wrench/{self._names[number]}", entries, {})

    def _one_vehicle(self) -> Iterator[Copied]:
        vehicle = f"V-{self._jobs + 1000}"
        yield Copied(f"vehicle/{vehicle}", self._vehicle, {})
        for entries in self._story:
            self._jobs += 1
            self._names[entries[0].said["vehicle"]] = vehicle
            yield Copied(f"job/{self._jobs}", entries, dict(self._names))

    def _write(self, copied: Sequence[Copied]) -> None:
        self._clock.moment += self._apart
        following = self._workshop.book.head().sequence + 1
        drafts: list[Draft] = []
        for subject, entries, names in copied:
            late = self._clock.moment - datetime.fromisoformat(entries[-1].happened_at)
            for entry in entries:
                self._places[entry.sequence] = following + len(drafts)
                drafts.append(self._draft(subject, entry, late, names))
        act = Act(f"copied-{following}", act_digest("copy", "P-3", str(following), {}))
        self._workshop.book.append(_with_words(act, drafts), drafts, {})

    def _draft(self, subject: str, entry: Entry, late: timedelta, names: Mapping[str, str]) -> Draft:
        said = {field: self._moved(field, value, names) for field, value in entry.said.items()}
        judged = {field: self._moved(field, value, names) for field, value in entry.judged.items()}
        if "token" in judged:
            judged["token"] = new_token(self._workshop.chance)
        return Draft(
            subject=subject,
            kind=entry.kind,
            happened_at=datetime.fromisoformat(entry.happened_at) + late,
            who=entry.who,
            said={**said, **{field: FreeWords(text) for field, text in entry.words.items()}},
            judged=judged,
        )

    def _moved(self, field: str, value: Any, names: Mapping[str, str]) -> Any:
        """What an entry says, with the numbers that the copies have."""
        if isinstance(value, dict):
            return {name: self._moved(name, each, names) for name, each in value.items()}
        if isinstance(value, list):
            return [self._moved(field, each, names) for each in value]
        if field in {"vehicle", "wrench"}:
            return names.get(value, value)
        return self._places.get(value, value) if field in REFERS and isinstance(value, int) else value


def _with_words(act: Act, drafts: Sequence[Draft]) -> Act:
    words = {field: told.text for draft in drafts for field, told in draft.said.items() if isinstance(told, FreeWords)}
    return act._replace(words=words)


def milliseconds(works: Sequence[Callable[[], object]]) -> float:
    """The median time of different pieces of the same work."""
    times = []
    for work in works:
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return statistics.median(times) * 1e3


def looked_up(workshop: Workshop, tokens: Sequence[str]) -> float:
    """From a label's token to everything that its page shows."""

    def look(token: str) -> object:
        row = queries.job_by_token(workshop.book, token)
        return row and show_job(workshop, str(row.job))

    return milliseconds([partial(look, token) for token in tokens])


def over_the_years(workshop: Workshop, vehicles: Sequence[str]) -> tuple[float, float]:
    """Everything that happened to each vehicle; then its newest job as it stood behind its opening."""
    jobs = [str(queries.jobs_of_vehicle(workshop.book, vehicle)[-1].job) for vehicle in vehicles]
    opened = [workshop.book.entries(f"job/{job}")[0].sequence for job in jobs]
    lives = milliseconds([partial(life_of, workshop, vehicle) for vehicle in vehicles])
    then = milliseconds([partial(show_job_then, workshop, *at) for at in zip(jobs, opened, strict=True)])
    return lives, then


def acted(workshop: Workshop, vehicles: Sequence[str], wrench: str) -> tuple[float, float]:
    """A job opened on each vehicle; then its axle nut tightened."""
    say, opened = Say("P-3"), []

    def open_on(vehicle: str) -> None:
        opened.append(open_job(workshop, Opening(vehicle=vehicle, procedure=PROCEDURE), say))

    opening = milliseconds([partial(open_on, vehicle) for vehicle in vehicles])
    act = Tighten(Outcome.TURNED_CLICKED, wrench, TORQUE)
    return opening, milliseconds([partial(tighten, workshop, job, FASTENER, act, say) for job in opened])


def filled(folder: Path, jobs: int, apart: timedelta = timedelta(minutes=1)) -> tuple[Path, Clock, int]:
    """Make a book of so many jobs: where it lies, a clock that stands at its end, and how many jobs are the demo's.

    The copies that are written at once lie so far `apart` from the next ones.
    """
    program = str(Path(sys.executable).with_name("torqueaudit"))
    # Its wrenches are in calibration on the days of the copies.
    demo = [program, "demo", str(folder), "--on", NOW.date().isoformat()]
    subprocess.run(demo, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    clock, path = Clock(NOW), folder / "yard.book"
    start = time.perf_counter()
    with open_workshop(path, clock=clock.now, chance=random.Random(1)) as workshop:
        of_demo = queries.counts(workshop.book).jobs  # of other vehicles, one with a job still open: other work
        Filler(workshop, clock, apart).fill(jobs)
    print(f"{jobs} jobs written in {time.perf_counter() - start:.0f} s", flush=True)
    return path, clock, of_demo


def measure(folder: Path, jobs: int) -> Mapping[str, float]:
    """Fill a book, open it anew, and time what a workshop asks of it: milliseconds, and microseconds an entry."""
    path, clock, of_demo = filled(folder, jobs)
    clock.go_on(days=3)
    with open_workshop(path, clock=clock.now, chance=random.Random(2)) as workshop:
        drawn = random.Random(3)
        rows = drawn.sample([row for row in queries.jobs_list(workshop.book) if row.job > of_demo], SAMPLES)
        vehicles = list(dict.fromkeys(row.vehicle or "" for row in rows))
        of_year = f"W-1{queries.counts(workshop.book).jobs // JOBS_OF_A_YEAR:05d}"
        label = looked_up(workshop, [row.token or "" for row in rows])
        lives, then = over_the_years(workshop, vehicles[: SAMPLES // 4])
        opening, act = acted(workshop, vehicles, of_year)
        entries = workshop.book.head().sequence
        return {
            "look-up by label, ms": label,
            "the life of a vehicle, ms": lives,
            "a job as of an entry, ms": then,
            "opening a job, ms": opening,
            "an act, ms": act,
            "chain, µs an entry": milliseconds([lambda: chain_of(workshop.book.engine)]) / entries * 1e3,
            "everything verified, µs an entry": milliseconds([workshop.book.verify]) / entries * 1e3,
        }


def main() -> int:
    """Print each figure and its growth; 1 when one lies above its limit."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("jobs", nargs="?", type=int, default=LARGE)
    asked.add_argument("where", nargs="?", help="a folder on the disk to be measured")
    told = asked.parse_args()
    found = []
    for count in (SMALL, told.jobs):
        with tempfile.TemporaryDirectory(dir=told.where) as folder:
            found.append(measure(Path(folder) / "demo", count))
    met = True
    for name, large in found[1].items():
        growth = large / found[0][name]
        limit = f", limit {MOST_GROWTH}" if "ms" in name else ""
        met &= not limit or growth <= MOST_GROWTH
        print(f"{name}: {found[0][name]:.2f} at {SMALL} jobs, {large:.2f} at {told.jobs}; growth {growth:.2f}{limit}")
    verified = found[1]["everything verified, µs an entry"]
    print(f"everything verified: {verified:.1f} µs an entry, limit {MOST_MICROSECONDS:.0f} µs")
    return int(not met or verified > MOST_MICROSECONDS)


if __name__ == "__main__":
    sys.exit(main())
