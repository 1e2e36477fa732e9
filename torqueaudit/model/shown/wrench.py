"""A wrench: one frozen picture, with what it was used on and what of that is in doubt."""

from datetime import date
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.wrench.wrench import Scale


class PointView(NamedTuple):
    """One calibration point: `at` and `references` in the unit they were told in, the others in N·m.

    Mean and worst deviation, W and W′ in percent; `outside` its class: a single reading is enough.
    """

    at: str
    unit: str
    references: tuple[Decimal, ...]
    shown_nm: Decimal
    references_nm: tuple[Decimal, ...]
    deviation_percent: Decimal
    worst_percent: Decimal
    expanded_percent: Decimal | None
    interval_percent: Decimal | None
    outside: bool


class CalibrationView(NamedTuple):
    """A calibration; `adapter` says what was fitted, `paper` where the certificate's file lies."""

    entry: int
    on: date
    due_on: date
    certificate: str
    laboratory: str
    decision_rule: str
    as_found: tuple[PointView, ...]
    as_left: tuple[PointView, ...]
    adapter: str
    paper: str
    hour: str  # where it was told
    direction: str  # to which side it holds
    reference: str
    temperature_c: Decimal | None
    technician: str


class HistoryView(NamedTuple):
    """Something that happened to a wrench, in one sentence."""

    entry: int
    on: date
    what: str
    says: str


class OrderAsked(NamedTuple):
    """A question for the order of looks of one day, by their entries; `out` where one of them found the wrench out."""

    entries: tuple[int, ...]
    out: bool
    says: str


class DriftView(NamedTuple):
    """What a wrench moved at one point from as left to the next as found, in percent, with the U of both (k = 2).

    `normalised` is the one over the other: above 1 it moved by more than both calibrations leave open.
    """

    at: str
    shown_nm: Decimal
    left_on: date
    found_on: date
    moved_percent: Decimal
    expanded_percent: Decimal | None
    normalised: Decimal | None


class IntervalView(NamedTuple):
    """The months that a wrench was last calibrated for, and those that are proposed, never set, with the reason."""

    months: int
    proposed: int
    says: str


class UseView(NamedTuple):
    """One pass of a wrench; `doubt` says what reached the fastener, or why nobody knows whether it was in order.

    `known` is false where nobody knows what reached it, as the wrench was found out at other settings. Judged again:
    `verdict`, the torque with its U (k = 2), and both at the end of an angle, in N·m.
    """

    job: int
    vehicle: str
    position: str
    on: date
    entry: int
    doubt: str = ""
    inside: bool = True
    known: bool = True
    verdict: str = ""
    applied_nm: Decimal | None = None
    expanded_nm: Decimal | None = None
    final_nm: Decimal | None = None
    final_expanded_nm: Decimal | None = None


class OverloadView(NamedTuple):
    """The pass that overloaded a wrench at which nobody has looked since; `says` is the sentence, with its job.

    `shown` is what the wrench was set to or showed, as it was told, and in N·m.
    """

    job: str
    position: str
    on: date
    entry: int
    shown: str
    shown_nm: Decimal | None
    says: str


class WrenchView(NamedTuple):
    """A wrench at a glance, as judged today. `why` says what its state rests on; torques in N·m, length in mm."""

    number: str
    tag: str
    kind: str
    state: str
    why: str
    owner: str
    construction: str
    iso_class: str
    permissible_percent: Decimal
    min_nm: Decimal | None
    max_nm: Decimal | None
    scales: tuple[Scale, ...]
    lever_mm: Decimal | None
    lever_expanded_mm: Decimal | None  # U, k = 2
    lever: str  # both in words, "" where it is not known
    direction: str
    due_on: date | None
    cycles: int
    cycles_allowed: int
    calibration: CalibrationView | None
    history: tuple[HistoryView, ...]
    uses: tuple[UseView, ...]
    doubtful: tuple[UseView, ...]
    not_known: tuple[UseView, ...]
    put_right: tuple[UseView, ...]  # done before a fact that they rest on was put right, judged anew
    demo: bool
    reach: str
    direction_stated: bool
    order_asked: tuple[OrderAsked, ...]
    overload: OverloadView | None
    drift: tuple[DriftView, ...]
    interval: IntervalView | None


class WrenchLine(NamedTuple):
    """A wrench in a list of all: its state as judged today and what that rests on; `reach` is on its own scale."""

    number: str
    tag: str
    kind: str
    state: str
    why: str
    reach: str
    min_nm: Decimal | None
    max_nm: Decimal | None
    due_on: date | None
    overload: OverloadView | None
