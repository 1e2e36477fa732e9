"""An invented workshop with a clock that is set by the test; everything is recorded through the acts themselves."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path
from random import Random
from typing import TypeAlias
from zoneinfo import ZoneInfo

import pytest

from torqueaudit.book.book import Book
from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Opening, Permission, Tighten
from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.plugins import Plugins, load_plugins
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.concessions import concede
from torqueaudit.workshop.jobs.fasteners import loosen, see_mark, tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.release import hand_over, release
from torqueaudit.workshop.opening import new_workshop
from torqueaudit.workshop.recheck.road import recheck
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.wrench import add_wrench

FOREMAN, MECHANIC, SECOND = "P-1", "P-2", "P-3"

ZONE = ZoneInfo("Europe/Vienna")
PROCEDURE = """
format = 1
name = "{name}"
title = "{name} renewed"
edition = "1"

[source.manual]
document = "Invented manual"
edition = "1"
model = "Kestrel 500"
years = [2028, 2031]

[[work]]
tighten = "{fastener}"
name = "{fastener}"
torque = "100 N·m"
tolerance = "10 %"
mark = true
check = true
holds = "{holds}"
source = "manual"
page = "1"

[recheck]
distance = "100 km"
days = 14
grace_days = 7
grace_distance = "50 km"
marks = "all"
"""


class Clock:
    """A clock that stands where the test sets it."""

    def __init__(self, now: datetime) -> None:
        self.now = now

    def __call__(self) -> datetime:
        return self.now


class Yard:
    """The workshop, its clock, and the acts of an ordinary job in few words."""

    wrench = "W-1"

    def __init__(self, folder: Path, now: datetime, digests: dict[str, str], seed: int = 8) -> None:
        self.folder = folder
        self.path = folder / "yard.book"
        self.clock = Clock(now)
        self.chance = Random(seed)
        self.digests = digests
        self.workshop = Workshop(Book.open(self.path, self.clock, self.chance), load_plugins(), self.clock, self.chance)

    def furnish(self) -> None:
        """Enter people, a wrench, and a procedure for each kind of joint. Another program backs the book up."""
        add_person(self.workshop, "Adawen Quill", ("foreman",), "", Say("setup"))
        add_person(self.workshop, "Borin Thatch", ("mechanic",), "", Say(FOREMAN))
        add_person(self.workshop, "Cyra Lumen", ("mechanic",), "", Say(FOREMAN))
        settle(self.workshop, {"backup_days": 0}, Say(FOREMAN))
        new = NewWrench("setting", "the long one", "40 N·m", "200 N·m")
        assert self.wrench == add_wrench(self.workshop, new, Say(FOREMAN))
        for name, fastener, holds in (
            ("chain-kit", "sprocket-nut", "sprocket"),
            ("front-brake", "caliper-bolt", "brake"),
            ("front-wheel", "front-axle", "wheel"),
        ):
            self.digests[holds] = self.enter(name, fastener, holds)

    def restart(self, plugins: Plugins | None = None) -> None:
        """Open the book anew, as the next command would, perhaps with other plugins."""
        self.workshop.book.close()
        book = Book.open(self.path, self.clock, self.chance)
        self.workshop = Workshop(book, plugins or load_plugins(), self.clock, self.chance)

    def damage(self, job: str, old: str, new: str) -> None:
        """Write over a job's entries in the file, past the triggers, and open the book anew."""
        engine = self.workshop.book.engine
        engine.run("drop trigger ledger_no_update")
        change = "update ledger set document = replace(document, ?, ?) where subject = ?"
        engine.run(change, (old, new, f"job/{job}"))
        self.restart()

    def enter(self, name: str, fastener: str, holds: str) -> str:
        file = self.folder / f"{name}.toml"
        file.write_text(PROCEDURE.format(name=name, fastener=fastener, holds=holds), encoding="utf-8")
        digest = enter_procedure(self.workshop, file, Say(MECHANIC))
        read_against_source(self.workshop, digest, "", Say(SECOND))
        return digest

    def day(self, text: str, hour: int = 10) -> None:
        """Set the clock to an hour (UTC) of a day."""
        self.clock.now = datetime.combine(date.fromisoformat(text), datetime.min.time(), UTC) + timedelta(hours=hour)

    def vehicle(self, tag: str) -> str:
        return add_vehicle(self.workshop, tag, "Kestrel 500", 2030, {}, Say(MECHANIC))

    def open(self, vehicle: str, holds: str = "wheel") -> str:
        return open_job(self.workshop, Opening(vehicle, self.digests[holds]), Say(MECHANIC))

    def fastener(self, job: str) -> str:
        return self.workshop.job(job).procedure.fasteners()[0].key

    def tightened(self, vehicle: str, holds: str = "wheel", shown: str = "100 N·m") -> str:
        """A job with its one fastener tightened and marked."""
        job = self.open(vehicle, holds)
        act = Tighten(Outcome.TURNED_CLICKED, self.wrench, shown)
        tighten(self.workshop, job, self.fastener(job), act, Say(MECHANIC))
        self.mark(job, MarkState.INTACT)
        return job

    def mark(self, job: str, state: MarkState) -> None:
        """Seen at the bench, or by its owner once it left."""
        by = "owner" if self.workshop.record(job).hand_over else MECHANIC
        see_mark(self.workshop, job, self.fastener(job), state, "", Say(by))

    def see_at_the_bench(self, job: str) -> None:
        """A mark that a mechanic looks at: the vehicle is here."""
        see_mark(self.workshop, job, self.fastener(job), MarkState.INTACT, "", Say(MECHANIC))

    minute = timedelta(minutes=1)

    def release(self, job: str) -> None:
        release(self.workshop, job, Say(FOREMAN))

    def check(self, job: str) -> None:
        check(self.workshop, job, self.fastener(job), CheckMethod.MARK_SEEN, "", Say(SECOND))

    def left(self, job: str, kilometres: int = 1000, *, released: bool = True) -> str:
        if released:
            self.release(job)
        hand_over(self.workshop, job, kilometres * 1000, Say(MECHANIC), "fetched at once")
        return job

    def clean(self, vehicle: str, holds: str = "wheel") -> str:
        """A job with nothing wrong, handed over at 1000 km."""
        job = self.tightened(vehicle, holds)
        self.check(job)
        return self.left(job)

    def quiet(self, vehicle: str) -> str:
        """A clean job that was looked at again and left again."""
        job = self.clean(vehicle)
        self.clock.now += timedelta(minutes=1)
        self.see_at_the_bench(job)
        recheck(self.workshop, job, 1_080_000, "", Say(MECHANIC))
        self.clock.now += timedelta(minutes=1)
        hand_over(self.workshop, job, 1_080_000, Say(MECHANIC))
        return job

    def loosen(self, job: str, why: str = "wheel out again") -> None:
        loosen(self.workshop, job, self.fastener(job), why, Say(MECHANIC))

    def conceded(self, vehicle: str, until: str) -> str:
        """A job released under the foreman's permission for a value below the range, in spite of it."""
        job = self.tightened(vehicle, shown="85 N·m")
        self.check(job)
        permission = Permission(
            rule="workshop_rules/outside-tolerance",
            subject=self.fastener(job),
            basis="joint holds at 80 N·m by the invented manual",
            limit="no more than 300 km",
            expires_on=date.fromisoformat(until),
        )
        concede(self.workshop, job, permission, Say(FOREMAN))
        return self.left(job)


def new_yard(folder: Path, now: datetime) -> Yard:
    """The invented workshop, made in a folder, its book open."""
    settings = {"zone": ZONE.key, "base_address": "http://yard.local:8080"}
    new_workshop(folder / "yard.book", "YARD", settings, clock=lambda: now, chance=Random(6))
    yard = Yard(folder, now, {}, seed=7)
    yard.furnish()
    return yard


# Gives a folder with the book of a workshop that was furnished at a moment, and the digests of its procedures.
Furnished: TypeAlias = Callable[[datetime], tuple[Path, dict[str, str]]]


@pytest.fixture(scope="session")
def furnished(tmp_path_factory: pytest.TempPathFactory) -> Furnished:
    """The invented workshop, made once for each moment; tests take copies."""
    made: dict[datetime, tuple[Path, dict[str, str]]] = {}

    def ready(now: datetime) -> tuple[Path, dict[str, str]]:
        if now not in made:
            yard = new_yard(tmp_path_factory.mktemp("furnished"), now)
            yard.workshop.book.close()
            made[now] = yard.folder, yard.digests
        return made[now]

    return ready


@contextmanager
def copied(furnished: Furnished, now: datetime, folder: Path) -> Iterator[Yard]:
    """A copy of the workshop in another folder, its book closed after."""
    made, digests = furnished(now)
    shutil.copytree(made, folder, dirs_exist_ok=True)
    yard = Yard(folder, now, {**digests})
    yield yard
    yard.workshop.book.close()


@pytest.fixture
def yard(tmp_path: Path, furnished: Furnished) -> Iterator[Yard]:
    """The invented workshop."""
    with copied(furnished, datetime(2031, 4, 1, 8, tzinfo=UTC), tmp_path) as yard:
        yield yard


@pytest.fixture
def yard_of_late(tmp_path: Path, furnished: Furnished) -> Iterator[Yard]:
    """The same workshop on a morning forty days ago, for commands, which run by the machine's own clock."""
    day = datetime.now(ZONE).date() - timedelta(days=40)
    with copied(furnished, datetime.combine(day, time(10), ZONE).astimezone(UTC), tmp_path) as yard:
        yield yard
