"""The invented workshop itself: its book, its people, vehicles, wrenches and procedures."""

from datetime import UTC, date, datetime
from decimal import Decimal
from importlib import resources
from pathlib import Path
from random import Random

from torqueaudit.workshop.acting import Say
from torqueaudit.workshop.cards import Clock, play
from torqueaudit.workshop.keeping import NewWrench, add_person, add_vehicle, add_wrench
from torqueaudit.workshop.listing import jobs
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.showing import show_job
from torqueaudit.workshop.views import JobView
from torqueaudit.workshop.workshop import Workshop
from torqueaudit_plugins.demo.jobs import story

SETTINGS = {"zone": "Europe/Vienna", "base_address": "http://localhost:8080", "demo": True}
FOREMAN = Say("P-1")
PEOPLE = (
    ("Agatha Musterschraub", ("foreman",), ""),
    ("Bertram Musterschraub", ("mechanic",), ""),
    ("Clementine Schlüsselweit", ("mechanic",), ""),
    ("Dagobert Drehmoment", ("trainee",), "P-2"),
)
VEHICLES = ("blue", "red", "grey", "green", "black", "white", "yellow", "silver")
WRENCHES = (
    NewWrench("setting", "half inch", "20 N·m", "200 N·m", Decimal(500), date(2024, 12, 31)),
    NewWrench("indicating", "dial", "10 N·m", "60 N·m", Decimal(400), date(2024, 11, 30)),
    NewWrench("setting", "quarter inch", "5 N·m", "25 N·m", Decimal(250), date(2024, 5, 31)),
)


def play_story(book: Path) -> list[JobView]:
    """Make the book and play the whole story into it; the jobs as they stand then, in their order."""
    clock, chance = Clock(), Random(1999)  # noqa: S311  # the same story every time
    clock.moment = datetime(2024, 4, 2, 6, 0, tzinfo=UTC)
    new_workshop(book, "YARD", SETTINGS, clock=clock, chance=chance)
    with open_workshop(book, clock=clock, chance=chance) as workshop:
        _furnish(workshop)
        play(workshop, *story())
        return [show_job(workshop, str(row.job)) for row in reversed(jobs(workshop))]


def _furnish(workshop: Workshop) -> None:
    add_person(workshop, *PEOPLE[0], Say("setup"))
    for person in PEOPLE[1:]:
        add_person(workshop, *person, FOREMAN)
    for number, colour in enumerate(VEHICLES, start=1):
        known = {"plate": f"X-DEMO {number}", "frame_number": f"KS50{number:05}", "owner": f"Invented Owner {number}"}
        add_vehicle(workshop, f"Kestrel 500, {colour}", "Kestrel 500", 2020 + number % 4, known, FOREMAN)
    for wrench in WRENCHES:
        add_wrench(workshop, wrench, FOREMAN)
    with resources.as_file(resources.files(__package__) / "procedures") as folder:
        for path in sorted(folder.glob("*.toml")):
            digest = enter_procedure(workshop, path, Say("P-2"))
            read_against_source(workshop, digest, "", Say("P-3"))
