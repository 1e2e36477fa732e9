"""The invented workshop itself: its book, its people, vehicles, wrenches and procedures."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from importlib import resources
from pathlib import Path
from random import Random
from typing import NamedTuple

from torqueaudit.plugin import JobView
from torqueaudit.plugin.commands import (
    Calibrate,
    Came,
    Clock,
    NewWrench,
    Say,
    Workshop,
    add_person,
    add_vehicle,
    add_wrench,
    calibrate,
    enter_procedure,
    jobs,
    new_workshop,
    open_workshop,
    play,
    read_against_source,
    show_job,
)
from torqueaudit_plugins.demo.jobs import BEGINS, story

# The telephone is one that is given to nobody: Ofcom keeps 01632 960000 to 960999 for drama (from memory).
SETTINGS = {
    "zone": "Europe/Vienna",
    "base_address": "http://localhost:8080",
    "telephone": "+44 1632 960123",
    "demo": True,
}
CARD = Came("card")
FOREMAN = Say("P-1", came=CARD)
PEOPLE = (
    ("Agatha Musterschraub", ("foreman",), ""),
    ("Bertram Musterschraub", ("mechanic",), ""),
    ("Clementine Schlüsselweit", ("mechanic",), ""),
    ("Dagobert Drehmoment", ("trainee",), "P-2"),
)
VEHICLES = ("blue", "red", "grey", "green", "black", "white", "yellow", "silver", "orange")
LABORATORY = "Invented Calibrations"


class Hung(NamedTuple):
    """A wrench on the wall: how many days before the end it was calibrated, and what its certificate states."""

    wrench: NewWrench
    days: int
    certificate: str
    as_found: tuple[str, ...]
    as_left: tuple[str, ...] = ()


WRENCHES = (
    Hung(
        NewWrench(
            kind="setting",
            tag="half inch",
            lowest="20 N·m",
            highest="200 N·m",
            lever_mm=Decimal(500),
            scales=("0.5 N·m", "1 lbf·ft"),
        ),
        days=124,
        certificate="DEMO 017",
        as_found=(
            "20 N·m: 20.3 20.1 20.4 20.2 20.3; W 1.6 %",
            "120 N·m: 118.2 118.9 118.5 119.1 118.7; W 1.1 %",
            "200 N·m: 196.8 197.4 197.1 196.9 197.6; W 1.0 %",
        ),
    ),
    Hung(
        NewWrench(
            kind="indicating", tag="dial", lowest="10 N·m", highest="60 N·m", lever_mm=Decimal(400), scales=("0.5 N·m",)
        ),
        days=159,
        certificate="DEMO 341",
        as_found=(
            "10 N·m: 10.5 10.5 10.6 10.5 10.6; W 1.9 %",
            "36 N·m: 37.1 37.0 37.2 37.1 37.0; W 1.2 %",
            "60 N·m: 61.2 61.0 61.1 61.3 61.2; W 1.1 %",
        ),
        as_left=(
            "10 N·m: 10.1 10.0 10.1 10.0 10.1; W 1.9 %",
            "36 N·m: 36.2 36.1 36.1 36.2 36.1; W 1.2 %",
            "60 N·m: 60.1 60.0 60.2 60.1 60.1; W 1.1 %",
        ),
    ),
    Hung(
        NewWrench(
            kind="setting",
            tag="quarter inch",
            lowest="5 N·m",
            highest="25 N·m",
            lever_mm=Decimal(250),
            scales=("0.1 N·m",),
        ),
        days=357,
        certificate="DEMO 102",
        as_found=(
            "5 N·m: 4.95 4.92 4.96 4.94 4.93; W 2.2 %",
            "15 N·m: 14.9 14.8 14.9 14.9 14.8; W 1.5 %",
            "25 N·m: 24.8 24.7 24.8 24.9 24.8; W 1.3 %",
        ),
    ),
)


def play_story(book: Path, today: date) -> list[JobView]:
    """Make the book and play the weeks before `today` into it; the jobs as they stand then, in their order."""
    clock, chance = Clock(), Random(1999)  # noqa: S311  # the same story every time
    clock.moment = datetime.combine(today - timedelta(days=BEGINS), time(6), UTC)
    new_workshop(book, "YARD", SETTINGS, clock=clock, chance=chance, came=CARD)
    with open_workshop(book, clock=clock, chance=chance) as workshop:
        _furnish(workshop, today)
        play(workshop, *story(today))
        return [show_job(workshop, str(row.job)) for row in reversed(jobs(workshop))]


def _furnish(workshop: Workshop, today: date) -> None:
    add_person(workshop, *PEOPLE[0], Say("setup", came=CARD))
    for person in PEOPLE[1:]:
        add_person(workshop, *person, FOREMAN)
    for number, colour in enumerate(VEHICLES, start=1):
        known = {"plate": f"X-DEMO {number}", "frame_number": f"KS50{number:05}", "owner": f"Invented Owner {number}"}
        add_vehicle(workshop, f"Kestrel 500, {colour}", "Kestrel 500", 2020 + number % 4, known, FOREMAN)
    for each in WRENCHES:
        on = today - timedelta(days=each.days)
        told = Calibrate(on, each.certificate, LABORATORY, as_found=each.as_found, as_left=each.as_left)
        calibrate(workshop, add_wrench(workshop, each.wrench, FOREMAN), told, FOREMAN)
    with resources.as_file(resources.files(__package__) / "procedures") as folder:
        for path in sorted(folder.glob("*.toml")):
            digest = enter_procedure(workshop, path, Say("P-2", came=CARD))
            read_against_source(workshop, digest, "", Say("P-3", came=CARD))
