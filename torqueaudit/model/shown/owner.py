"""What the owner reads who opens a label: may it be ridden, when to come back, what to look at; no inside."""

from datetime import date
from enum import StrEnum
from typing import NamedTuple

from torqueaudit.model.recheck.state import RecheckState
from torqueaudit.model.register.distance import distance_text
from torqueaudit.model.shown.recheck import AskedDay
from torqueaudit.model.vehicle.instrument import Instrument, hours_text

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
    `state` is the most urgent of all its re-checks; `far` says that one of them is due by what its instrument shows.
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
    due_min: int | None = None
    instrument: Instrument = Instrument.KM

    @property
    def due_at(self) -> str:
        """What its instrument shows when it is due, "12 100 km"; "" where it does not count."""
        return due_at_text(self)


class NoDay(NamedTuple):
    """Why the owner is not waited for, in large words and in a sentence.

    Of a re-check that nobody does here, also the day, and the odometer in metres or the running hours in minutes, that
    it is due at. `settled` where it was done, or later work has taken its place.
    """

    headline: str
    says: str
    due_on: date | None = None
    due_distance_m: int | None = None
    settled: bool = False
    due_min: int | None = None
    instrument: Instrument = Instrument.KM

    @property
    def due_at(self) -> str:
        """What its instrument shows when it is due, "12 100 km"; "" where it does not count."""
        return due_at_text(self)


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
    instrument: Instrument = Instrument.KM


def day_text(day: date, today: date | None = None) -> str:
    """A day as people say it, "Thursday 17 April", with its year unless that is this one."""
    year = f" {day.year}" if today is None or day.year != today.year else ""
    return f"{day:%A} {day.day}{NO_BREAK}{day:%B}{year}"


def far_text(metres: int, unit: str = "km") -> str:
    """A distance in whole kilometres or miles with its thousands apart: "12 100 km"."""
    number, _ = distance_text(metres, unit).split()
    return f"{int(number):,}".replace(",", NO_BREAK) + f"{NO_BREAK}{unit}"


def due_at_text(due: ExpectedBack | NoDay) -> str:
    """What the instrument shows when the vehicle is to come back, as an owner reads it; "" where it does not count."""
    if due.due_min is not None:
        return hours_text(max(due.due_min, 0)).replace(" ", NO_BREAK)
    return far_text(max(due.due_distance_m, 0), due.instrument.unit) if due.due_distance_m is not None else ""


def call_of(telephone: str) -> str:
    """A telephone number as a link has it (RFC 3966)."""
    return "".join(sign for sign in telephone if sign.isdecimal() or sign == "+")


class WhenBack(NamedTuple):
    """When an owner is to come back, in words, "" for what is not told: `by` a day, `at` a distance, `when` of both.

    `due` says of the re-check that it is due, or was. While its day is still ahead and its distance is not ridden it is
    `to_come`; once one of them is there it is `reached`.
    """

    by: str
    at: str
    when: str
    due: str
    to_come: bool
    reached: bool

    @property
    def both(self) -> bool:
        """Whether a day and a distance are told."""
        return bool(self.by and self.at)

    @property
    def first_of_both(self) -> str:
        """As `when` has it, and that the first of both holds."""
        return f"{self.when}, whichever comes first" if self.both else self.when

    @property
    def ahead(self) -> str:
        """The day that the owner is still to come by; "" where none is told, or what is told is there already."""
        return "" if self.reached else self.by

    @property
    def says(self) -> str:
        """What the owner is told of it, without an end: "come back by …", or that the re-check is due or was."""
        if self.reached:
            return f"the re-check {self.due}"
        return f"come back {self.first_of_both or 'for the re-check'}"


def when_back(view: OwnerView, *, dated: bool = False) -> WhenBack:
    """When the owner of a vehicle is to come back; `dated` where it may be read years later."""
    today, back = None if dated else view.asked_on, view.back
    told = back or view.no_day
    by = f"by {day_text(told.due_on, today)}" if told.due_on else ""
    at = f"at {told.due_at}" if told.due_at else ""
    day, far = back.due_on if back else None, back is not None and back.far
    when = " or ".join(filter(None, (by, at)))
    return WhenBack(
        by=by,
        at=at,
        when=when,
        due=_due(view, when, by, at),
        to_come=day is not None and day > view.asked_on and not far,
        reached=far or (day is not None and day <= view.asked_on),
    )


def _due(view: OwnerView, when: str, by: str, at: str) -> str:
    """That a re-check is due, or was: a distance that is ridden is said without a day that is still to come."""
    back = view.back
    if back is None:
        return ""
    if back.due_on and back.due_on < view.asked_on:
        return f"was due {when}"
    if back.far:
        return f"was due {at}"
    return f"is due today, {by.removeprefix('by ')}" if back.due_on == view.asked_on else f"is due {when}"
