"""The facts of a job from the leaving of its vehicle on: rides, re-checks, what was agreed, and who was reminded.

Distances are whole metres, running hours whole minutes, moments aware UTC datetimes.
"""

from datetime import date
from enum import StrEnum
from typing import NamedTuple, TypeAlias

from torqueaudit.model.job.noted import FindingKey, Noted
from torqueaudit.model.vehicle.instrument import Hours, Run


class HandOver(NamedTuple):
    """The vehicle left; what is due after the first ride was worked out then.

    One after a look at which nothing was turned `plans` no other re-check.
    """

    noted: Noted
    odometer_m: int | None  # None where its instrument shows no distance, as in each reading below
    due_on: date | None
    due_distance_m: int | None
    stops: tuple[FindingKey, ...]
    with_stops: str = ""  # why it left with them
    plans: bool = True
    run_min: int | None = None  # what its hour meter showed, in minutes, as in each reading below
    due_min: int | None = None  # what it shows when the re-check is due
    per_day: int | None = None  # metres or minutes that it ran a day before, by its own history


class Ride(NamedTuple):
    """A ride reported, with what its instrument showed after it."""

    noted: Noted
    odometer_m: int | None
    remark: str
    run_min: int | None = None


class Half(StrEnum):
    """Which half of a day suits somebody."""

    MORNING = "morning"
    AFTERNOON = "afternoon"


class DayAsked(NamedTuple):
    """The day on which the owner would like to come with the re-check: a wish, which moves nothing."""

    noted: Noted
    on: date
    half: Half


class Recheck(NamedTuple):
    """The look after the first ride, concluded."""

    noted: Noted
    odometer_m: int | None
    remark: str
    run_min: int | None = None


class RecheckPostponed(NamedTuple):
    """The foreman put a re-check off to a day, to what its instrument shows, or both; `of` is its leaving."""

    noted: Noted
    of: int
    until: date | None
    until_m: int | None
    why: str
    until_min: int | None = None  # by an hour meter


class RecheckRefused(NamedTuple):
    """The owner does not want the re-check of the leaving `of`."""

    noted: Noted
    of: int
    why: str


class RecheckReferred(NamedTuple):
    """Another workshop does the re-check of the leaving `of`, and tells what it found."""

    noted: Noted
    of: int
    to_whom: str
    why: str


class RecheckAnswered(NamedTuple):
    """What another workshop found at the re-check of the leaving `of`; the odometer is None where it was not told."""

    noted: Noted
    of: int
    in_order: bool
    odometer_m: int | None
    remark: str
    run_min: int | None = None


Read: TypeAlias = HandOver | Ride | Recheck | RecheckAnswered  # at each something may have been read

Arrangement: TypeAlias = RecheckPostponed | RecheckRefused | RecheckReferred | RecheckAnswered


class Reminded(NamedTuple):
    """The owner was reminded of the re-check: what of, by which way, and of which leaving and target.

    `n` counts the weekly ones; `since` is the ledger's entry behind which that reader was told all of it anew; `due_on`
    is the day that was told.
    """

    noted: Noted
    kind: str
    n: int
    way: str
    leaving: int
    target: int
    since: int
    due_on: date | None


def run_of(fact: Read) -> Run | None:
    """What was read then off the vehicle."""
    return fact.odometer_m if fact.run_min is None else Hours(fact.run_min)
