"""Fixtures for people who write plugins, and job cards: the work of a test written down as a workshop would.

Put `pytest_plugins = ["torqueaudit.testing"]` into a `conftest.py`. Every test then has

- `clock`: the book's clock, at 2031-04-02 08:00 UTC until a test sets it (`clock.set("2031-04-03 07:30")`);
- `book_file`: a book of the site YARD (UTC), a new copy for each test. P-1 is foreman, P-2 and P-3 are mechanics, P-4 is
  P-2's trainee; V-1 and V-2 are of the model Kestrel 500, V-3 is of another; W-1 clicks and W-2 shows its value (both
  500 mm from drive to hand), W-3 clicks and its calibration ended with 2031-03-31. The invented procedures `axle` (one
  nut, so that few lines make a whole job) and `final-drive` (something of everything) were entered and read;
- `workshop`: the same book opened, with the plugins that are installed;
- `played`: the same after the job card in the test's docstring, which follows the first blank line:

      2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
      2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
      2031-04-02 10:06 rear-axle-nut mark intact by P-2
      2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
      2031-04-02 10:15 released by P-1
      2031-04-02 10:20 handed over at 12010 km by P-1

`play(workshop, card)` plays a card from anywhere. One line is one act, told by whoever stands at its end; a line that
cannot be read raises ValueError with its text, what the workshop refuses raises Refused. What is not about a job opened
on the same card begins with "job 7". The clock goes to each line's time and never back: a line earlier than the one
before is told late, and a line "2031-04-03 08:00 clock" only moves it. The other lines (brackets: may be left out):

      job 2 opened axle on V-1 [at 12000 km] [after job 1] by P-2
      sprocket-bolt [stage 2] 35 N·m with W-1 [adapter 50@45] [thread bad] [helped by P-4] [but 3 did not reach torque] by P-2
      rear-axle-nut [108 N·m with W-1] did not reach torque by P-2         or "clicked without turning", "no torque wrench fits"
      rear-axle-nut loosened: wheel out again by P-2
      rear-axle-nut mark not seen: under the cover by P-3                  or any other state, with a reason or without
      rear-axle-nut checked self re-inspection: alone today by P-2         or "watched", "mark seen", "clicked without turning"
      slack measured 25 mm [at mid-span] by P-2
      brake-tried yes[: twice] by P-2                                      or "no", "not applicable"
      tab-washer fitted [used] washer 18 mm by P-2
      conceded no-wrench-fits on rear axle nut until 2031-05-01: turned by angle, ridden slowly by P-1    basis, limit
      ridden to 12040 km by owner
      re-checked at 12100 km by P-2
      line 3 struck: wrong nut by P-2                                      the act told by that line of this card
      V-1 rear-axle-nut reported loosened: tyre changed elsewhere by owner
"""

import re
import shutil
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path
from random import Random

import pytest

from torqueaudit.model.correction import Fitted
from torqueaudit.model.facts import CheckMethod, MarkState, Outcome
from torqueaudit.plugins import Plugins, load_plugins
from torqueaudit.workshop.acting import Say
from torqueaudit.workshop.corrections import strike
from torqueaudit.workshop.fasteners import Tighten, loosen, see_mark, tighten
from torqueaudit.workshop.jobs import Opening, open_job
from torqueaudit.workshop.keeping import NewWrench, add_person, add_vehicle, add_wrench, report_loosened
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.releasing import Permission, check, concede, hand_over, release
from torqueaudit.workshop.road import recheck, report_ride
from torqueaudit.workshop.showing import show_job
from torqueaudit.workshop.working import Part, do_step, fit, measure
from torqueaudit.workshop.workshop import Workshop

HEAD = """\
format = 1
name = "{name}"
title = "{title}"
edition = "1"
source.manual = {{document = "Kestrel 500 manual", edition = "3", model = "Kestrel 500", years = [2028, 2031]}}
recheck = {{distance = "100 km", days = 14, grace_days = 7, marks = "all", measurements = {measured}}}
work = [
"""
NUT = """\
  {tighten = "rear-axle-nut", name = "rear axle nut", torque = "108 N·m", tolerance = "10 %", mark = true, check = true,
   holds = "wheel", source = "manual", page = "7-12", after = [AFTER]},
"""
AXLE = HEAD.format(name="axle", title="Rear axle nut", measured="[]") + NUT.replace("AFTER", "") + "]\n"
FINAL_DRIVE = (
    HEAD.format(name="final-drive", title="Chain and sprockets", measured='["slack"]')
    + """\
  {step = "bike-secured", name = "motorcycle secured", says = "Tie it down."},
  {tighten = "sprocket-bolt", name = "sprocket bolt", count = 5, cross = true, stages = ["30 %", "100 %"],
   torque = "47 … 53 N·m", after = ["bike-secured"], source = "manual", page = "6-14"},
  {fit = "tab-washer", name = "tab washer", part = "tab washer", single_use = true},
  {tighten = "sprocket-nut", name = "front sprocket nut", torque = "100 N·m", tolerance = "workshop", mark = true,
   single_use = ["tab-washer"], after = ["tab-washer"], condition = "oiled", source = "manual", page = "6-11"},
  {tighten = "disc-bolt", name = "disc bolt", torque = "22 N·m", tolerance = "10 %", condition = "threadlocker",
   cure_time_h = 24, source = "manual", page = "8-6"},
  {tighten = "caliper-bolt", name = "caliper bolt", torque = "30 N·m", tolerance = "5 %", method = "torque and angle",
   angle = "45°", source = "manual", page = "8-12"},
  {measure = "slack", name = "chain slack", limit = "20 … 30 mm", again_after = ["rear-axle-nut"], source = "manual",
   page = "2-21"},
  {measure = "wear", name = "chain wear", unit = "mm"},
"""
    + NUT.replace("AFTER", '"sprocket-nut", "slack"')
    + """\
  {step = "test-ride", name = "test ride", says = "Ride round the yard.", required = false},
  {step = "brake-tried", name = "rear brake tried", says = "Stop it with the brake alone.", proves = "brake"},
]
"""
)


class Clock:
    """A clock that a test sets; it goes from there only when told."""

    def __init__(self, moment: str = "2031-04-02 08:00") -> None:
        self.moment = moment_of(moment)

    def __call__(self) -> datetime:
        return self.moment

    def set(self, moment: str) -> None:
        """Set it, also back: "2031-04-03 07:30", UTC."""
        self.moment = moment_of(moment)


def moment_of(text: str) -> datetime:
    """A moment in UTC, the ready-made book's own time: "2031-04-03 07:30"."""
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


@pytest.fixture
def clock() -> Clock:
    """The clock of the book."""
    return Clock()


@pytest.fixture(scope="session")
def ready_made_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book that `book_file` is a copy of; nobody writes to it."""
    folder = tmp_path_factory.mktemp("ready-made")
    clock = Clock("2031-04-01 08:00")
    new_workshop(folder / "yard.book", "YARD", {"zone": "UTC"}, clock=clock, chance=Random(1))
    with open_workshop(folder / "yard.book", clock=clock, chance=Random(2)) as workshop:
        _furnish(workshop, folder)
    return folder / "yard.book"


@pytest.fixture
def book_file(ready_made_book: Path, tmp_path: Path) -> Path:
    """A book of its own for the test."""
    return Path(shutil.copy(ready_made_book, tmp_path / "yard.book"))


@pytest.fixture(scope="session")
def installed_plugins() -> Plugins:
    """The installed plugins, loaded once."""
    return load_plugins()


@pytest.fixture
def workshop(book_file: Path, clock: Clock, installed_plugins: Plugins) -> Iterator[Workshop]:
    """The test's book, opened."""
    with open_workshop(book_file, clock=clock, chance=Random(3), plugins=installed_plugins) as opened:
        yield opened


@pytest.fixture
def played(workshop: Workshop, request: pytest.FixtureRequest) -> Workshop:
    """The workshop after the job card in the test's docstring."""
    _, _, card = (request.function.__doc__ or "").strip().partition("\n\n")
    play(workshop, card)
    return workshop


def findings(workshop: Workshop, job: str = "1", *, rule: str = "", weight: str = "") -> list[str]:
    """What the rules say of a job now, without what a concession covers; of one rule or weight where given."""
    shown = [each.finding for each in show_job(workshop, job).findings if not each.concession]
    return [each.says for each in shown if rule in ("", each.rule) and weight in ("", each.weight.value)]


def _furnish(workshop: Workshop, folder: Path) -> None:
    setup, foreman = Say("setup"), Say("P-1")
    add_person(workshop, "Ottoline Sample", ("foreman",), "", setup)
    add_person(workshop, "Barnaby Sample", ("mechanic",), "", foreman)
    add_person(workshop, "Cressida Sample", ("mechanic",), "", foreman)
    add_person(workshop, "Dunstan Sample", ("trainee",), "P-2", foreman)
    add_vehicle(workshop, "bike-1", "Kestrel 500", 2030, {"plate": "Y-ARD 101"}, foreman)
    add_vehicle(workshop, "bike-2", "Kestrel 500", 2030, {}, foreman)
    add_vehicle(workshop, "bike-3", "Merlin 700", 2030, {}, foreman)
    due = date(2032, 3, 31)
    add_wrench(workshop, NewWrench("setting", "blue", "20 N·m", "200 N·m", Decimal(500), due), foreman)
    add_wrench(workshop, NewWrench("indicating", "dial", "20 N·m", "200 N·m", Decimal(500), due), foreman)
    add_wrench(workshop, NewWrench("setting", "old", "20 N·m", "200 N·m", Decimal(500), date(2031, 3, 31)), foreman)
    for name, text in (("axle", AXLE), ("final-drive", FINAL_DRIVE)):
        (folder / f"{name}.toml").write_text(text, encoding="utf-8")
        enter_procedure(workshop, folder / f"{name}.toml", Say("P-2"))
        read_against_source(workshop, name, "", Say("P-3"))
