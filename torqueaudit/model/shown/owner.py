"""What the owner reads who opens a label: may it be ridden, when to come back, what to look at; no inside."""

from datetime import date
from enum import StrEnum
from typing import NamedTuple

from torqueaudit.model.recheck.state import RecheckState
from torqueaudit.model.register.distance import distance_text
from torqueaudit.model.shown.recheck import AskedDay

NO_BREAK = "\N{NO-BREAK SPACE}"


class Safety(StrEnum):
    """What an owner does with the vehicle now."""

    RIDE = "you may ride"
    NOT_KNOWN = "we do not know"
    COME_BACK = "come back"
    DO_NOT_RIDE = "do not ride"


class Place(NamedTuple):
    """A fastener, or a group of bolts, of the vehicle: its key, and its name in words."""

    key: str
    name: str


class ExpectedBack(NamedTuple):
    """The re-check that the owner is waited for with: of which job, from which leaving (its entry), until when.

    `target` is the number, within its job, of the entry that the day and the distance rest on; `sequence` is that of a
    calendar (RFC 5545) and only ever rises.
    A day that is asked for may be the `last_day` or an earlier one.
    `state` is the most urgent of all its re-checks; `far` says that a distance one of them is due at is ridden.
    """

    job: str
    token: str
    leaving: int
    target: int
    sequence: int
    due_on: date | None
    due_distance_m: int | None
    last_day: date
    asked: AskedDay | None
    state: RecheckState
    far: bool


class NoDay(NamedTuple):
    """Why the owner is not waited for, in large words and in a sentence.

    Of a re-check that nobody does here, also the day and the odometer in metres that it is due at. `settled` where it
    was done, or later work has taken its place.
    """

    headline: str
    says: str
    due_on: date | None = None
    due_distance_m: int | None = None
    settled: bool = False


class OwnerView(NamedTuple):
    """A vehicle as its owner needs to know it, by the label of one of its jobs. `says` is one sentence.

    `back` is None where nobody waits for the owner; `no_day` says why then. `marks` name what carries a painted
    line, `limits` are what a ride is bound to; `away` says whether it is with its owner.
    """

    job: str
    token: str
    tag: str
    workshop: str
    telephone: str
    demo: bool
    asked_on: date
    left_on: date | None
    safety: Safety
    says: str
    limits: tuple[str, ...]
    back: ExpectedBack | None
    no_day: NoDay
    marks: tuple[str, ...]
    places: tuple[Place, ...]
    away: bool


def day_text(day: date, today: date | None = None) -> str:
    """A day as people say it, "Thursday 17 April", with its year unless that is this one."""
    year = f" {day.year}" if today is None or day.year != today.year else ""
    return f"{day:%A} {day.day}{NO_BREAK}{day:%B}{year}"


def far_text(metres: int) -> str:
    """A distance in whole kilometres with its thousands apart: "12 100 km"."""
    number, unit = distance_text(metres).split()
    return f"{int(number):,}".replace(",", NO_BREAK) + f"{NO_BREAK}{unit}"
