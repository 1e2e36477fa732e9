"""A page that is sent again as it was drawn says what one says that is judged anew, whatever has happened meanwhile."""

import os
import random
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from werkzeug.test import Client

from torqueaudit.book import queries
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.procedure.procedure import Fastener, Measurement, Step
from torqueaudit.photo.harmless import Harmless
from torqueaudit.web.app import RecordServer, create_app
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.jobs.photos import erase_photo, photograph
from torqueaudit.workshop.jobs.release import hand_over
from torqueaudit.workshop.jobs.steps_and_parts import do_step
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.jobs.undo import undo
from torqueaudit.workshop.register.people import forget_person
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.signing.devices import admit, invite, withdraw_device
from torqueaudit.workshop.signing.sessions import choose, sign_in, sign_out
from torqueaudit.workshop.vehicles.vehicle import report_loosened
from torqueaudit.workshop.wrenches.wrench import estimate_use, mishandle

ID = re.compile("[0-9a-f]{32}")
OWNERS = re.compile("/r/[^/]*")  # what a label opens for who is not let in
DEEDS = 250 if "TORQUEAUDIT_PROOF" in os.environ else 30
NUT = "rear-axle-nut"
BY_ANOTHER_PROGRAM = """
import sys
from datetime import datetime
from pathlib import Path
from torqueaudit.model.act import Say
from torqueaudit.workshop.jobs.fasteners import loosen
from torqueaudit.workshop.opening import open_workshop

with open_workshop(Path(sys.argv[1]), clock=lambda: datetime.fromisoformat(sys.argv[2])) as workshop:
    loosen(workshop, "1", "rear-axle-nut", "the wheel came out again", Say("P-2"))
"""


class Bench:
    """One book that two servers show: one that keeps its pages, and one that judges everything anew."""

    def __init__(self, kept: RecordServer, anew: RecordServer, yard: Any) -> None:
        self.yard, self.app = yard, kept
        self.device = admit(yard.workshop, invite(yard.workshop, Say(yard.foreman), "tablet").code)
        self.key = ""
        anew.workshop.kept = None
        self._pages = (Client(kept), Client(anew))
        self._owners = (Client(kept), Client(anew))
        self.sign_in()

    def sign_in(self, person: str = "P-2", pin: str = "314159") -> None:
        """Let somebody sign in anew, in both browsers."""
        self.key = sign_in(self.app.workshop, self.device.device, person, pin)
        for page in self._pages:
            page.set_cookie("device", self.device.key)
            page.set_cookie("session", self.key)

    def both(self, path: str) -> tuple[str, str]:
        """What both servers say under an address, with their codes, whatever ids stand in the forms.

        By a label an owner asks, whom no device lets in.
        """
        browsers = self._owners if OWNERS.fullmatch(path) else self._pages
        answers = [page.get(path) for page in browsers]
        kept, anew = (f"{each.status_code} {each.location} {ID.sub('ID', each.text)}" for each in answers)
        return kept, anew

    def text(self, path: str) -> str:
        """What the server says that keeps its pages."""
        return self._pages[0].get(path).text

    @property
    def paths(self) -> list[str]:
        """Every page of the job that is kept."""
        screens = [f"/job/1/{each}" for each in ("work", "release/job", f"tighten/{NUT}", f"mark/{NUT}", "undo/job")]
        rows = queries.jobs_list(self.yard.workshop.book)
        records = [f"/r/{row.token}{page}" for row in rows for page in ("", "/record")]
        vehicle = f"/vehicle/{self.yard.vehicle.lower()}"
        return ["/bench", "/job/1", *screens, vehicle, f"{vehicle}/life", *records]


@pytest.fixture
def bench(book: Path, clock: list[datetime], yard: Any, pins: dict[str, str], procedures: Path) -> Iterator[Bench]:
    """A job is open, and nothing of it is done."""
    del pins
    yard.open(procedures / "rear-wheel.toml")
    with ExitStack() as until:
        kept, anew = (until.enter_context(create_app(book, lambda: clock[0], random.Random(each))) for each in (3, 4))
        yield Bench(kept, anew, yard)


class Days:
    """What happens in a workshop, drawn by lot; much of it is refused, and nothing is promised of what follows."""

    def __init__(self, bench: Bench, lot: random.Random) -> None:
        self._yard, self._bench, self._lot = bench.yard, bench, lot
        self._workshop = bench.yard.workshop
        self._drawn = 0

    @property
    def deeds(self) -> list[Callable[[], object]]:
        """Everything that may happen; work goes on the more often."""
        told = [self.work] * 8 + [self.strike, self.undo, self.erase, self.photo, self.photo_gone, self.settle]
        return [*told, self.shaken, self.used, self.report, self.time, self.due, self.leave, self.chosen, self.forget]

    def one(self) -> str:
        """Let something happen; what it was called."""
        deed = self._lot.choice(self.deeds)
        with suppress(Refused, IndexError):  # of nothing there is to draw from
            deed()
            return getattr(deed, "__name__", "")
        return "refused"

    def work(self) -> None:
        """One thing of the procedure in its order, from the start again where all is done."""
        items = self._workshop.job("1").procedure.work
        item = items[self._drawn % len(items)]
        self._drawn += 1
        if isinstance(item, Fastener):
            self._yard.fasten("1", item)
        elif isinstance(item, Measurement):
            self._yard.gauge("1", item, again=True)
        elif isinstance(item, Step):
            do_step(self._workshop, "1", item.key, "yes", f"looked {self._drawn}", Say(self._yard.mechanic))

    def strike(self) -> None:
        """A late look finds that something was told wrongly."""
        entry = self._lot.choice(self._workshop.book.entries("job/1")[1:])
        strike(self._workshop, "1", entry.sequence, "told of the wrong one", Say(self._yard.foreman))

    def undo(self) -> None:
        """Somebody takes back what was just told."""
        undo(self._workshop, "1", "mistyped", Say(self._yard.mechanic))

    def erase(self) -> None:
        """Words are erased."""
        entries = self._workshop.book.with_words("job/1")
        erase_words(self._workshop, [self._lot.choice(entries)], "it named somebody", Say(self._yard.foreman))

    def photo(self) -> None:
        """A photo of the nut is kept."""
        picture = Harmless(self._lot.randbytes(40), self._lot.randbytes(20))
        photograph(self._workshop, "1", [NUT], picture, "", Say(self._yard.mechanic))

    def photo_gone(self) -> None:
        """A photo is erased."""
        taken = list(self._workshop.record("1").photos(NUT))
        digest = self._lot.choice(taken).photo.digest
        erase_photo(self._workshop, "1", digest, "a face is on it", Say(self._yard.foreman))

    def settle(self) -> None:
        """The workshop chooses otherwise."""
        chosen = {
            "zone": self._lot.choice(["UTC", "Asia/Tokyo"]),
            "own_tolerance_percent": self._lot.choice(["10", "15"]),
        }
        settle(self._workshop, chosen, Say(self._yard.foreman))

    def shaken(self) -> None:
        """The wrench falls."""
        mishandle(self._workshop, self._yard.wrench, "dropped", "off the bench", Say(self._yard.foreman))

    def used(self) -> None:
        """The wrench was used elsewhere, too often."""
        estimate_use(self._workshop, self._yard.wrench, 3000, "lent", self._workshop.today(), Say(self._yard.foreman))

    def report(self) -> None:
        """Somebody says that the nut was undone elsewhere."""
        report_loosened(self._workshop, self._yard.vehicle, NUT, "a tyre was changed", Say(self._yard.foreman))

    def time(self) -> None:
        """Some minutes go by."""
        self._yard.later(minutes=self._lot.randint(1, 9))

    def due(self) -> None:
        """Days go by, over whatever was due."""
        self._yard.later(days=self._lot.randint(1, 20))
        self._bench.sign_in()

    def leave(self) -> None:
        """The vehicle leaves, with what is left to be done, and may come back."""
        hand_over(self._workshop, "1", 12_000_000, Say(self._yard.foreman), "the owner signed for it")
        if self._lot.random() < 0.5:
            self._yard.later(minutes=1)
            self._yard.arrive(at_m=12_000_000 + self._lot.randint(1, 400_000))

    def chosen(self) -> None:
        """Another wrench is chosen at the bench."""
        choose(self._bench.app.workshop, self._bench.key, {"wrench": self._lot.choice(["", self._yard.wrench])})

    def forget(self) -> None:
        """Nobody's name is known any more of the foreman."""
        forget_person(self._workshop, self._yard.foreman, Say(self._yard.foreman))


@pytest.mark.proof
@pytest.mark.parametrize("seed", [1, 2])
def test_a_kept_page_says_what_one_says_that_is_judged_anew(bench: Bench, seed: int) -> None:
    """After each of many things that happen, asked for once before and once after the next one."""
    lot = random.Random(seed)
    days, happened = Days(bench, lot), ["opened"]
    for _ in range(DEEDS):
        for path in lot.sample(bench.paths, 5):
            kept, anew = bench.both(path)
            assert anew == kept, (path, happened[-5:])
        happened.append(days.one())

    assert len(set(happened)) > 8  # most of what may happen did


def test_another_program_has_a_page_drawn_anew(bench: Bench, book: Path, clock: list[datetime]) -> None:
    """The command line writes to the same book while the server keeps its page."""
    bench.yard.work("1")
    bench.sign_in()
    before = bench.both("/job/1/work")
    told = [sys.executable, "-c", BY_ANOTHER_PROGRAM, str(book), clock[0].isoformat()]
    subprocess.run(told, check=True)
    kept, anew = bench.both("/job/1/work")

    assert kept == anew
    assert before[0] != kept


def test_every_sending_of_a_page_has_ids_of_its_own(bench: Bench) -> None:
    """Or the acts of two people, and two acts of one, would count as one."""
    first, second = (set(ID.findall(bench.text("/job/1/mark/rear-axle-nut"))) for _ in range(2))

    assert (1, 1, 1) == (len(first - second), len(second - first), len(first & second))


def test_a_page_is_kept_for_whoever_asked_alone(bench: Bench) -> None:
    """Who is signed in stands on it, and in its forms."""
    mechanic = bench.text("/job/1/work")
    bench.sign_in("P-1", "271828")
    foreman = bench.text("/job/1/work")

    assert [("P-2<" in each, "P-1<" in each) for each in (mechanic, foreman)] == [(True, False), (False, True)]


def test_a_device_that_was_withdrawn_and_a_session_that_ended_open_nothing_any_more(bench: Bench) -> None:
    """Not even what was kept a moment ago."""
    opened = bench.text("/job/1/work")
    sign_out(bench.app.workshop, bench.key)
    signed_out = bench.text("/job/1/work")
    bench.sign_in()
    again = bench.text("/job/1/work")
    withdraw_device(bench.yard.workshop, Say(bench.yard.foreman), bench.device.device, "lost")
    withdrawn = bench.text("/job/1/work")

    assert [True, False, True, False] == ["rear axle nut" in each for each in (opened, signed_out, again, withdrawn)]


def test_a_mark_is_shown_at_once_on_every_page_of_the_motorcycle(bench: Bench) -> None:
    """The strangers' page too."""
    bench.yard.work("1")
    path = next(each for each in bench.paths if each.endswith("/record"))
    before = bench.both(path)
    bench.yard.mark("1", NUT, MarkState.DISTURBED, "the line is broken")
    after = bench.both(path)

    assert [True, True] == [kept == anew for kept, anew in (before, after)]
    assert before[0] != after[0]
