"""The facts of a job as the ledger's entries say them, one small type for each kind of entry.

Torques are Decimal N·m, distances whole metres, moments aware UTC datetimes.
"""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Any, NamedTuple, TypeAlias

from torqueaudit.model.job.noted import FindingKey, Noted
from torqueaudit.model.job.photo import Photo
from torqueaudit.model.job.road import (
    DayAsked,
    HandOver,
    Recheck,
    RecheckAnswered,
    RecheckPostponed,
    RecheckReferred,
    RecheckRefused,
    Reminded,
    Ride,
)
from torqueaudit.model.procedure.procedure import DIMENSION
from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.model.torque.drag import Drag, Seat
from torqueaudit.model.torque.verdict import NOT_JUDGED, SIMPLE


class Outcome(StrEnum):
    """What happened when a fastener was tightened."""

    TURNED_CLICKED = "turned, then clicked"
    CLICKED_ONLY = "clicked without turning"
    VALUE_SHOWN = "value shown"
    NOT_REACHED = "did not reach torque"
    NO_WRENCH = "no torque wrench fits"
    BY_HAND = "turned by hand"  # of a stage that is done so


class Slot(StrEnum):
    """How the slot of a castle nut came to the hole for its pin."""

    ALIGNED = "aligned"
    TURNED_ON = "turned on to the next slot"
    NONE = "no slot within the maximum"


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


class AtSlot(NamedTuple):
    """The torque at the slot that a castle nut was turned on to, in N·m; `expanded_nm` is its U (k = 2).

    `below`: a setting wrench was set to it and did not click, so the torque lay below. `not_proved` says why U is None.
    """

    nm: Decimal
    expanded_nm: Decimal | None
    not_proved: str
    shown_nm: Decimal
    below: bool
    shown: str = ""  # as it was said


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
    verdict: str  # one of the words of `model.torque.verdict`, as judged then
    rule: str = SIMPLE  # by which decision rule
    probability: Decimal | None = None  # that the torque lies inside its limits
    expanded_nm: Decimal | None = None  # U (k = 2), None where nothing is proved
    not_proved: str = ""  # why not
    wrench_budget: tuple[BudgetLine, ...] = ()  # what the wrench adds to U
    fitted_budget: tuple[BudgetLine, ...] = ()  # what was fitted to it adds
    cycles: int | None = None  # of the wrench before this pass, at least
    angle_deg: Decimal | None = None  # turned after the torque
    final_nm: Decimal | None = None  # at the end of the angle
    drag: Drag | None = None  # of a self-locking nut; where no seat is known the limits hold with it on top
    slot: Slot | None = None  # of a castle nut
    corrected_by: Fraction = Fraction(1)  # the factors of what was fitted, multiplied
    deviation: Decimal | None = None  # of the wrench, as a fraction, where it was corrected for
    cautions: tuple[str, ...] = ()  # of what was fitted, where its correction is unusual
    final_expanded_nm: Decimal | None = None  # U of `final_nm`
    final_not_proved: str = ""
    final_shown_nm: Decimal | None = None  # what the wrench showed at the end of the angle
    at_slot: AtSlot | None = None  # where it was turned on to one and the torque there was told
    seat: Seat | None = None  # of a self-locking nut whose drag the source excludes
    final_shown: str = ""  # at the end of the angle, as it was said
    log: int | None = None  # the entry of the row of a log that it confirms

    @property
    def drag_nm(self) -> Decimal | None:
        """What a self-locking nut drags by."""
        return self.drag.nm if self.drag else None

    @property
    def most_shown_nm(self) -> Decimal | None:
        """The most that its wrench was set to or showed: at the torque, at the end of an angle, or at a slot."""
        shown = (self.shown_nm, self.final_shown_nm, self.at_slot.shown_nm if self.at_slot else None)
        return max((each for each in shown if each is not None), default=None)

    @property
    def held_nm(self) -> Decimal | None:
        """The torque that its limits hold for: at the seat where a drag was taken off, else what was applied."""
        return self.seat.nm if self.seat else self.applied_nm

    @property
    def held_expanded_nm(self) -> Decimal | None:
        """U (k = 2) of the torque that its limits hold for."""
        return self.seat.expanded_nm if self.seat else self.expanded_nm

    @property
    def held_not_proved(self) -> str:
        """Why no U is known of the torque that its limits hold for."""
        return self.seat.not_proved if self.seat else self.not_proved

    @property
    def budget(self) -> tuple[BudgetLine, ...]:
        """Every contribution to its U."""
        return self.wrench_budget + self.fitted_budget


class Logged(NamedTuple):
    """One row of a wrench's log: what is said to have been applied, which no fastener stands by until it is confirmed.

    `number` is what the wrench called the row. `run_by` had the log read, of which `file` is the digest (SHA-256).
    """

    noted: Noted
    position: str
    stage: int
    wrench: str
    shown: str
    angle: str
    final_shown: str
    fitted: tuple[Mapping[str, Any], ...]
    no_adapter: bool
    number: str
    run_by: str
    file: str
    line: int


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


class Input(NamedTuple):
    """One reading that a measured value was derived from, as it was told."""

    name: str
    value: Decimal
    unit: str  # "" for a number
    expanded: Decimal | None = None  # U of the instrument, k = 2
    place: str = ""


class Measured(NamedTuple):
    """One measurement taken: a dimension, or a value derived from `inputs`, and how it was judged then.

    `inside` is None where no limit is stated.
    """

    noted: Noted
    key: str
    value: Decimal
    unit: str
    place: str
    inside: bool | None
    kind: str = DIMENSION
    inputs: tuple[Input, ...] = ()
    conditions: tuple[tuple[str, str], ...] = ()  # taken under these, told or as the procedure asks
    expanded: Decimal | None = None  # U, k = 2
    verdict: str = NOT_JUDGED
    rule: str = SIMPLE
    probability: Decimal | None = None  # that it lies inside its limits
    says: str = ""  # what the value rests on, as whoever derived it put it
    mend: str = ""  # what to do where the value lies outside its limits, as whoever derived it put it
    not_told: tuple[str, ...] = ()  # the names of those conditions that nobody told: the procedure's own stand in


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
    attributes: tuple[tuple[str, str], ...] = ()


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


class Photographed(NamedTuple):
    """A photo of the work: `keys` are positions of fasteners, or keys of work, where a group's stands for all of it."""

    noted: Noted
    photo: Photo
    keys: tuple[str, ...]
    why: str


class PhotoErased(NamedTuple):
    """A photo of a job erased by its digest, with the reason."""

    noted: Noted
    digest: str
    why: str


class Strike(NamedTuple):
    """An earlier fact of this job withdrawn, with the reason; `kind` is the kind of the fact struck.

    `undone` where it was taken back as the last act, and not by its number.
    """

    noted: Noted
    entry: int
    kind: str
    why: str
    undone: bool = False

    @property
    def what(self) -> str:
        """The kind of the fact struck without its version: "tightened" of "tightened.1"."""
        return self.kind.partition(".")[0]


Fact: TypeAlias = (
    Tightening
    | Logged
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
    | DayAsked
    | Recheck
    | RecheckPostponed
    | RecheckRefused
    | RecheckReferred
    | RecheckAnswered
    | Photographed
    | PhotoErased
    | Reminded
    | Strike
)
