"""Fixtures for people who write plugins, and job cards: the work of a test written down as a workshop would.

Put `pytest_plugins = ["torqueaudit.testing"]` into a `conftest.py`. Every test then has

- `clock`: the book's clock, at 2031-04-02 08:00 UTC until a test sets it (`clock.set("2031-04-03 07:30")`);
- `book_file`: a book of the site YARD (UTC), a new copy for each test. P-1 is foreman, P-2 and P-3 are mechanics, P-4
  is P-2's trainee; V-1 and V-2 ("bike-1", "bike-2") are of the model Kestrel 500, V-3 is of another; W-1 clicks and W-2
  shows its value (both 500 mm from drive to hand), W-3 clicks and its calibration ended with 2031-03-31. The invented
  procedures `axle` (one nut, so that few lines make a whole job) and `final-drive` (something of everything) were
  entered and read;
- `workshop`: the same book opened, with the plugins that are installed;
- `enter`: enters a procedure of the test's own: `enter("fork", "[[work]]…")`, whose tables name the source "manual";
  a whole file is entered by `enter_procedure(workshop, path, Say("P-1"))` of `torqueaudit.plugin.commands`;
- `played`: a workshop on which the job card in the test's docstring was played; the card follows the first blank line:

      2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
      2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
      2031-04-02 10:06 rear-axle-nut mark intact by P-2
      2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
      2031-04-02 10:15 released by P-1
      2031-04-02 10:20 handed over at 12010 km by P-1

`findings(workshop)` are the sentences of the rules on job 1, or on `job`; of one `rule` or `weight` where given. What
else a test asks is in `torqueaudit.plugin.commands`: `show_job(workshop, "1").panels`, `bench_setting`, `night_of`, …

`play(workshop, card)` plays a card from anywhere. One line is one act, told by whoever stands at its end; a line that
cannot be read raises ValueError with its text, what the workshop refuses raises Refused. Nobody asks a card whether its
vehicle is here again, nor whether a job is a second one by its procedure. What is not about a job opened
on the same card begins with "job 7". The clock goes to each line's time and never back: a line earlier than the one
before is told late, and a line "2031-04-03 08:00 clock" only moves it. The other lines (brackets: may be left out):

      job 2 opened axle on V-1 [at 12000 km] [after job 1] [only rear-axle-nut and sprocket-bolt] by P-2
      sprocket-bolt [stage 2] 35 N·m with W-1 [adapter 50@45 [and 30@0]] [OUTCOME] [thread bad]
          [helped by P-4 and P-3] [but 3 OUTCOME] by P-2, on one line; where an adapter is needed, "without
          adapter" says that there was none.
          The torque may be left out where an outcome is said:
          "did not reach torque", "clicked without turning", "no torque wrench fits". After wrench and adapter comes
          what is told beyond the torque: [then 92° [to 74 N·m]] [slot aligned] [drag 8 N·m [read with W-2]]
          (or the least and the most over a turn, drag 7 … 9 N·m); of a castle
          nut that was turned on the torque there: slot turned on to the next slot at 72 N·m
      rear-axle-nut loosened: wheel out again by P-2
      rear-axle-nut mark not seen: under the cover by P-3       (or another state; the reason may be left out)
      rear-axle-nut checked mark seen by P-3                    (or another method)
      slack measured 37 mm [± 0.5 mm] [at mid-span] [under posture=side stand] by P-2
      wear measured pins 19, length 287.2 mm [at link 3], length 287.6 mm ± 0.5 mm [under posture=wheels] by P-2
      brake-tried yes[: twice] by P-2                           (or "no", "not applicable"; a look: yes = in order)
      tab-washer fitted [used] washer 18 mm [lot L-7] [with size=525, links=112] by P-2
      conceded no-wrench-fits on rear axle nut until 2031-05-01: BASIS, LIMIT by P-1
      ridden to 12040 km[, sure][: it pulls evenly] by owner    (sure: of an odometer that does not fit those before)
      re-checked at 12100 km[: all well] by P-2
      re-check postponed until 2031-05-02 [or 12600 km]: abroad by P-1      (or until 12600 km)
      re-check refused: no time by P-2                          (by the owner)
      re-check handed to the next valley: it is nearer by P-2
      re-check found in order elsewhere [at 12100 km][: its remark] by P-2  (or fault found: what it is)
      rear-axle-nut 108 N·m with W-1, again by P-2               (a pass, a value or a part told within ten minutes)
      line 3 struck: wrong nut by P-2                           (what that line of this card told)
      taken back[: wrong nut] by P-2                            (the last act of whoever says it)
      V-1 rear-axle-nut reported loosened: tyre changed elsewhere by owner
"""

import shutil
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from datetime import date
from decimal import Decimal
from pathlib import Path
from random import Random

import pytest

from torqueaudit.book.address import Place
from torqueaudit.cards.card import Clock, moment_of, play
from torqueaudit.model.act import Say
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.plugins import Plugins, load_plugins
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.wrench import add_wrench

__all__ = ["Clock", "findings", "make_ready", "moment_of", "open_ready", "play", "procedure_head"]


@pytest.fixture
def clock() -> Clock:
    """The clock of the book."""
    return Clock()


@pytest.fixture(scope="session")
def ready_made_book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book that `book_file` is a copy of; nobody writes to it."""
    book = tmp_path_factory.mktemp("ready-made") / "yard.book"
    make_ready(book)
    return book


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
    with open_ready(book_file, clock, installed_plugins) as opened:
        yield opened


@pytest.fixture
def played(workshop: Workshop, request: pytest.FixtureRequest) -> Workshop:
    """The workshop after the job card in the test's docstring."""
    _, _, card = (request.function.__doc__ or "").strip().partition("\n\n")
    play(workshop, card)
    return workshop


@pytest.fixture
def enter(workshop: Workshop, tmp_path: Path) -> Callable[..., str]:
    """Enter a procedure with this name and these [[work]] and other tables, and have it read; its digest comes back."""

    def entered(name: str, tables: str, *, title: str = "A procedure", top: str = "") -> str:
        path = tmp_path / f"{name}.toml"
        path.write_text(procedure_head(name, title, top) + tables, encoding="utf-8")
        digest = enter_procedure(workshop, path, Say("P-2"))
        read_against_source(workshop, digest, "", Say("P-3"))
        return digest

    return entered


def procedure_head(name: str, title: str = "A procedure", top: str = "") -> str:
    """The start of an invented procedure in TOML, to be followed by [[work]] tables that name the source "manual".

    It holds for V-1 and V-2; `top` is a line more before the name.
    """
    return f"""{top}
format = 1
name = "{name}"
title = "{title}"
edition = "1"
[source.manual]
document = "Kestrel 500 manual"
edition = "3"
model = "Kestrel 500"
years = [2028, 2031]
"""


def findings(workshop: Workshop, job: str = "1", *, rule: str = "", weight: str = "") -> list[str]:
    """What the rules say of a job now, without what a concession covers; of one rule or weight where given."""
    shown = [each.finding for each in show_job(workshop, job).findings if not each.concession]
    return [each.says for each in shown if rule in ("", each.rule) and weight in ("", each.weight.value)]


def make_ready(place: Place) -> None:
    """Make the ready-made book at a place."""
    clock = Clock("2031-04-01 08:00")
    new_workshop(place, "YARD", {"zone": "UTC"}, clock=clock, chance=_chance(1))
    with open_workshop(place, clock=clock, chance=_chance(2)) as workshop:
        _furnish(workshop)


def open_ready(place: Place, clock: Clock, plugins: Plugins) -> AbstractContextManager[Workshop]:
    """A copy of the ready-made book, opened as every test has it."""
    return open_workshop(place, clock=clock, chance=_chance(3), plugins=plugins)


def _chance(seed: int) -> Random:
    return Random(seed)  # noqa: S311  # the same ids and tokens every time


def _furnish(workshop: Workshop) -> None:
    setup, foreman = Say("setup"), Say("P-1")
    add_person(workshop, "Ottoline Sample", ("foreman",), "", setup)
    add_person(workshop, "Barnaby Sample", ("mechanic",), "", foreman)
    add_person(workshop, "Cressida Sample", ("mechanic",), "", foreman)
    add_person(workshop, "Dunstan Sample", ("trainee",), "P-2", foreman)
    add_vehicle(workshop, "bike-1", "Kestrel 500", 2030, {"plate": "Y-ARD 101"}, foreman)
    add_vehicle(workshop, "bike-2", "Kestrel 500", 2030, {}, foreman)
    add_vehicle(workshop, "bike-3", "Merlin 700", 2030, {}, foreman)
    due = date(2032, 3, 31)
    add_wrench(
        workshop,
        NewWrench(kind="setting", tag="blue", lowest="20 N·m", highest="200 N·m", lever_mm=Decimal(500), due_on=due),
        foreman,
    )
    add_wrench(
        workshop,
        NewWrench(kind="indicating", tag="dial", lowest="20 N·m", highest="200 N·m", lever_mm=Decimal(500), due_on=due),
        foreman,
    )
    add_wrench(
        workshop,
        NewWrench(
            kind="setting",
            tag="old",
            lowest="20 N·m",
            highest="200 N·m",
            lever_mm=Decimal(500),
            due_on=date(2031, 3, 31),
        ),
        foreman,
    )
    for name in ("axle", "final-drive"):
        enter_procedure(workshop, Path(__file__).with_name(f"{name}.toml"), Say("P-2"))
        read_against_source(workshop, name, "", Say("P-3"))
