"""The facts of a job as the ledger's entries say them, one small type for each kind of entry.

Torques are Decimal N·m, distances whole metres, moments aware UTC datetimes.
"""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias

from torqueaudit.model.finding import FindingKey

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry


class Outcome(StrEnum):
    """What happened when a fastener was tightened."""

    TURNED_CLICKED = "turned, then clicked"
    CLICKED_ONLY = "clicked without turning"
    VALUE_SHOWN = "value shown"
    NOT_REACHED = "did not reach torque"
    NO_WRENCH = "no torque wrench fits"


class MarkState(StrEnum):
    """What was seen of a witness mark; only an intact one passes."""

    NOT_MARKED = "not marked"
    INTACT = "intact"
    DISTURBED = "disturbed"
    UNREADABLE = "unreadable"
    NOT_SEEN = "not seen"


class CheckMethod(StrEnum):
    """How the second person looked."""

    WATCHED = "watched"
    MARK_SEEN = "mark seen"
    CLICKED_ONLY = "clicked without turning"
    SELF = "self re-inspection"


class Noted(NamedTuple):
    """Where a fact stands, and who said it when; role and supervisor as they were at that moment."""

    entry: int
    number: int
    happened_at: datetime
    recorded_at: datetime
    by: str
    role: str
    supervisor: str

    @property
    def order(self) -> tuple[datetime, int]:
        """The order of the work: when it happened, then as it was told."""
        return (self.happened_at, self.number)


class Tightening(NamedTuple):
    """One pass of a wrench over one fastener."""

    noted: Noted
    position: str
    stage: int
    final: bool
    wrench: str
    shown: str  # as it was said: "92.5 N·m"
    fitted: tuple[Mapping[str, Any], ...]
    outcome: Outcome
    thread_ok: bool
    helpers: tuple[str, ...]
    shown_nm: Decimal | None
    applied_nm: Decimal | None
    lower_nm: Decimal | None
    upper_nm: Decimal | None
    verdict: str  # "in", "out" or "not judged", by simple acceptance, as judged then


class Loosening(NamedTuple):
    """A fastener undone: everything shown of it before is history."""

    noted: Noted
    position: str
    why: str


class MarkSeen(NamedTuple):
    """A witness mark painted or looked at; `of` is the tightening it was painted on."""

    noted: Noted
    position: str
    state: MarkState
    why: str
    of: int


class Measured(NamedTuple):
    """One dimension taken; `inside` is None where no limit is stated."""

    noted: Noted
    key: str
    value: Decimal
    unit: str
    place: str
    inside: bool | None


class StepDone(NamedTuple):
    """Something done or looked at: "yes", "no" or "not applicable"."""

    noted: Noted
    key: str
    answer: str
    remark: str


class PartFitted(NamedTuple):
    """A part put on, new or used before."""

    noted: Noted
    key: str
    part: str
    lot: str
    new: bool


class Check(NamedTuple):
    """The independent look at one fastener, at the tightening `of`."""

    noted: Noted
    position: str
    method: CheckMethod
    why: str
    of: int


class Concession(NamedTuple):
    """The foreman's written permission in spite of one finding."""

    noted: Noted
    covers: FindingKey
    basis: str
    limit: str
    expires_on: date


class Release(NamedTuple):
    """Permission to hand over, with the findings that were shown."""

    noted: Noted
    shown: tuple[FindingKey, ...]


class HandOver(NamedTuple):
    """The vehicle left; what is due after the first ride was worked out then."""

    noted: Noted
    odometer_m: int
    due_on: date | None
    due_distance_m: int | None
    stops: tuple[FindingKey, ...]


class Ride(NamedTuple):
    """A ride reported, with the odometer read after it."""

    noted: Noted
    odometer_m: int
    remark: str


class Recheck(NamedTuple):
    """The look after the first ride, concluded."""

    noted: Noted
    odometer_m: int
    remark: str


class Strike(NamedTuple):
    """An earlier fact of this job withdrawn, with the reason; `kind` is the kind of the fact struck."""

    noted: Noted
    entry: int
    kind: str
    why: str


Fact: TypeAlias = (
    Tightening
    | Loosening
    | MarkSeen
    | Measured
    | StepDone
    | PartFitted
    | Check
    | Concession
    | Release
    | HandOver
    | Ride
    | Recheck
    | Strike
)


def noted_of(entry: "Entry") -> Noted:
    """Where and by whom an entry was said."""
    return Noted(
        entry.sequence,
        entry.number,
        datetime.fromisoformat(entry.happened_at),
        datetime.fromisoformat(entry.recorded_at),
        entry.who,
        entry.judged.get("role", ""),
        entry.judged.get("supervisor", ""),
    )


def key_of(plain: Mapping[str, Any]) -> FindingKey:
    """A finding's key as entries hold it."""
    return FindingKey(plain["rule"], plain["subject"], plain["entry"])


def optional_decimal(text: str | None) -> Decimal | None:
    """A decimal that may be absent."""
    return None if text is None else Decimal(text)


def optional_date(text: str | None) -> date | None:
    """A date that may be absent."""
    return None if text is None else date.fromisoformat(text)
