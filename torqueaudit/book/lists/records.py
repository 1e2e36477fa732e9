"""The rows of the lists: facts and judged-then values of many jobs. Dates are ISO 8601 texts."""

from typing import NamedTuple


class JobRow(NamedTuple):
    """One job as the list `jobs` holds it; distances in metres, 0 or 1 for no or yes, None where unknown."""

    job: int
    vehicle: str | None
    procedure: str | None
    title: str | None
    token: str | None
    state: str | None
    opened_on: str | None
    last_recorded: str | None
    handed_over_on: str | None
    released: int | None
    due_on: str | None
    due_distance_m: int | None
    odometer_m: int | None
    rechecked_on: str | None
    unchecked: int | None
    holds: str | None
    withdrawn: int | None
    due_min: int | None  # by its hour meter
    estimated_on: str | None  # the day, or the one before, on which its history makes it due
    arranged: str | None  # what was agreed about its re-check, while that is not done


WRONG_SOURCE = "its source does not hold"  # for the vehicle as it was put right
DAY_ASKED = "a day was asked for"  # by the owner, for the re-check


class Attention(NamedTuple):
    """Why a job stands out: a reason, and the entry (sequence) that caused it."""

    job: int
    reason: str
    entry: int | None


class Need(NamedTuple):
    """A plugin that a job's procedure needs."""

    job: int
    plugin: str


class ConcessionRow(NamedTuple):
    """One concession as the list holds it."""

    job: int
    rule: str
    about: str | None
    entry: int
    by: str
    granted_on: str
    expires_on: str | None


class RecheckDone(NamedTuple):
    """A re-check that was done: the day it was due, and when it was done (UTC)."""

    due_on: str
    done_at: str


class WrenchRow(NamedTuple):
    """One wrench; `due_on` is the day its calibration ends."""

    wrench: str
    state: str | None
    due_on: str | None


class PersonRow(NamedTuple):
    """One person by number; the name is personal data and not here."""

    person: str
    roles: str | None
    supervisor: str | None


class VehicleRow(NamedTuple):
    """One vehicle by number, and the workshop's tag for it."""

    vehicle: str
    tag: str | None


class ProcedureRow(NamedTuple):
    """One procedure revision, and who read it against its source."""

    digest: str
    name: str | None
    title: str | None
    edition: str | None
    read_by: str | None
    read_on: str | None


class Counts(NamedTuple):
    """How much the book holds."""

    entries: int
    jobs: int
    vehicles: int
