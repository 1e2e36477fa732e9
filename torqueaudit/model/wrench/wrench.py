"""A torque wrench as its entries tell it: what it is, what calibrations found, and whether to trust it on a day."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from functools import cached_property
from typing import Any, NamedTuple

from torqueaudit.model.torque.correction import COVERAGE, Fitted, WrenchUse
from torqueaudit.model.unread import Unread
from torqueaudit.model.wrench.classes import CLASSES, OTHER
from torqueaudit.model.wrench.look import CALIBRATION, INTERIM_CHECK, Look
from torqueaudit.model.wrench.order import Seen, is_after, last_of
from torqueaudit.model.wrench.point import Point, outside, widest

# Maximum permissible deviation, ISO 6789-1:2017 (from memory): the split is on the tool's maximum, not on the reading.
WIDE, NARROW = Decimal("0.06"), Decimal("0.04")
SMALL_TOOL_NM = Decimal(10)
OUT = "outside its permissible deviation"
BOTH = "both"  # it measures to the right and to the left
RIGHT = "right"


class Scale(NamedTuple):
    """One scale of a wrench: its unit's symbol, its division as written in that unit, and one unit in N·m."""

    unit: str
    division: Decimal
    unit_nm: Decimal


class Paper(NamedTuple):
    """A certificate's file as the book keeps it: SHA-256 of its content, ".pdf", ".png" or ".jpg", size in bytes."""

    digest: str
    suffix: str
    size: int

    @property
    def name(self) -> str:
        """What it is called in the folder of papers."""
        return f"{self.digest}{self.suffix}"


class Calibration(NamedTuple):
    """A wrench calibrated on `on`; `due_on` is the last day it holds. `as_left` is empty where nothing was adjusted.

    `failed` says where it lay outside its permissible deviation as it was left, "" where it did not.
    """

    entry: int
    recorded_at: datetime
    on: date
    due_on: date
    certificate: str
    laboratory: str
    decision_rule: str
    as_found: tuple[Point, ...]
    as_left: tuple[Point, ...]
    adapters: tuple[Fitted, ...]  # that were fitted, from the wrench on
    paper: Paper | None
    failed: str = ""
    at: datetime | None = None  # the moment, where its hour was told
    hour: str = ""  # as it was told, "14:30"
    direction: str = ""  # to which side it was done: "right", "left" or "both", "" where that is not stated
    reference: str = ""  # the device it was held against, as the certificate names it
    temperature_c: Decimal | None = None
    technician: str = ""  # a person, so it can be erased

    @property
    def points(self) -> tuple[Point, ...]:
        """What holds since: as left, or as found where nothing was adjusted."""
        return self.as_left or self.as_found

    def worse(self) -> tuple[Any, ...]:
        """A rank by how it left the wrench, then by its due day: the higher, the worse it is to go by since."""
        return (
            bool(self.failed),
            not self.points,
            *widest(self.points),
            -self.due_on.toordinal(),
            *widest(self.as_found),
        )


class InterimCheck(NamedTuple):
    """A look at a wrench on the workshop's own tester, between calibrations; it moves no due date."""

    entry: int
    on: date
    tester: str
    points: tuple[Point, ...]
    failed: str = ""
    at: datetime | None = None  # the moment it was done
    hour: str = ""  # where it was told later
    certificate: str = ""  # of the tester itself
    expanded: Decimal | None = None  # U of the tester (k = 2), as a fraction, where it is stated


class Mishap(NamedTuple):
    """A wrench dropped, overloaded or withdrawn on a day, and why."""

    entry: int
    on: date
    what: str  # "dropped", "overloaded" or "withdrawn"
    why: str
    at: datetime


class Struck(NamedTuple):
    """An entry of a wrench that was withdrawn by the strike in `by_entry`, on a day, and why."""

    entry: int
    by_entry: int
    on: date
    why: str


class HourTold(NamedTuple):
    """The hour of a look as somebody told it on a later occasion, "14:30", and the moment that is."""

    entry: int
    on: date  # when it was told
    of: int  # the entry of the look
    hour: str
    at: datetime


class Change(NamedTuple):
    """What a wrench is, put right on a day: fields of `Wrench` as it was taken for until then, and as they are."""

    entry: int
    on: date
    before: Mapping[str, Any]
    after: Mapping[str, Any]


class OutSince(NamedTuple):
    """Since when a wrench may not be used: the day, and the moment where it is known."""

    on: date
    at: datetime | None = None

    def before(self, day: date, moment: datetime) -> bool:
        """Whether a moment, on a local day, lies before it; on a day without a moment nobody knows."""
        return day < self.on or (self.at is not None and moment < self.at)


class Estimate(NamedTuple):
    """The foreman's estimate of cycles that the book does not know, done around a day."""

    entry: int
    on: date
    cycles: int
    why: str


class InForce(NamedTuple):
    """What a wrench's trust rests on at one day: a calibration, or only a due date that was stated; or why nothing."""

    calibration: Calibration | None
    due_on: date | None
    why_not: str = ""
    broken: bool = False  # something that happened to it is why, not the calendar

    def towards(self, wrench: "Wrench", side: str) -> "InForce":
        """What it rests on for a thread of one side: a calibration to the other side proves nothing of it."""
        done = self.calibration
        if done is None or wrench.calibrated_to(done) in (BOTH, side):
            return self
        says = f"wrench {wrench.number} was calibrated to the {wrench.calibrated_to(done)}, and this is a {side}-hand"
        return InForce(None, self.due_on, f"{says} thread")


class _Entered(NamedTuple):
    """The fields of a wrench."""

    number: str
    kind: str
    tag: str
    min_nm: Decimal | None
    max_nm: Decimal | None
    lever_mm: Decimal | None
    due_on: date | None  # stated when it was entered, without a calibration, as far as that holds
    withdrawn: str  # "" in use, else why not
    scales: tuple[Scale, ...] = ()
    construction: str = OTHER
    direction: str = BOTH  # "right", "left" or "both"
    owner: str = ""  # whose it is, where it is borrowed
    calibrations: tuple[Calibration, ...] = ()  # by day and hour, those without an hour last on their day
    checks: tuple[InterimCheck, ...] = ()
    mishaps: tuple[Mishap, ...] = ()
    estimates: tuple[Estimate, ...] = ()
    struck: tuple[Struck, ...] = ()
    out_since: tuple[OutSince, ...] = ()  # what withdraws it now, each since when
    direction_stated: bool = True  # else it is taken to measure to both sides
    changes: tuple[Change, ...] = ()  # in the order they were told
    hours: tuple[HourTold, ...] = ()  # of looks, in the order they were told
    unread: tuple[Unread, ...] = ()  # entries that cannot be read and were not struck
    lever_expanded_mm: Decimal | None = None  # U, k = 2, where it was measured
    iso_class: str = ""  # "II A", where it is stated


class Wrench(_Entered):
    """A torque wrench: setting (ISO 6789 type II, it clicks) or indicating (type I, it shows). Torques in N·m.

    Its looks are cached here, as a NamedTuple cannot (decision 0001): every pass of it asks for them.
    """

    @cached_property
    def looks(self) -> tuple[Look, ...]:
        """Every look at it by its day, those of one day by their numbers."""
        seen: list[tuple[str, Calibration | InterimCheck, tuple[Point, ...]]] = [
            *((CALIBRATION, each, each.as_found) for each in self.calibrations),
            *((INTERIM_CHECK, each, each.points) for each in self.checks),
        ]
        found = [
            Look(
                on=each.on,
                entry=each.entry,
                what=what,
                points=points,
                out=bool(outside(points, self.permissible)),
                at=each.at,
                failed=bool(each.failed),
                adjusted=isinstance(each, Calibration) and bool(each.as_left),
            )
            for what, each, points in seen
        ]
        return tuple(sorted(found, key=lambda look: (look.on, look.entry)))

    @property
    def permissible(self) -> Decimal:
        """The maximum permissible deviation as a fraction; the wider one where the tool's maximum is not known."""
        if self.wide or self.max_nm is None or self.max_nm <= SMALL_TOOL_NM:
            return WIDE
        return NARROW

    @property
    def wide(self) -> bool:
        """Whether the wider deviation is permitted whatever its maximum: by its class, else by its construction."""
        return CLASSES[self.iso_class].wide if self.iso_class else self.construction != OTHER

    def calibrated_before(self, day: date) -> Calibration | None:
        """The newest calibration of that day or earlier; of two whose order nobody knows the worse."""
        return last_of([each for each in self.calibrations if each.on <= day], Calibration.worse)

    @property
    def due(self) -> date | None:
        """The last day the newest calibration holds, else the day that was stated when the wrench was entered."""
        newest = self.calibrated_before(date.max)
        return newest.due_on if newest else self.due_on

    def in_force(self, day: date) -> InForce:
        """What the wrench rests on at a day; the due day itself is still valid. Cycles are counted elsewhere."""
        calibration = self.calibrated_before(day)
        due_on = calibration.due_on if calibration else self.due_on
        if broken := self._broken_before(day, calibration):
            return InForce(None, due_on, f"wrench {self.number} {broken}", broken=True)
        if due_on is None:
            return InForce(None, None, f"nothing shows that wrench {self.number} is in calibration")
        if day > due_on:
            return InForce(None, due_on, f"wrench {self.number} was out of calibration on the day (due {due_on})")
        return InForce(calibration, due_on)

    def _broken_before(self, day: date, calibration: Calibration | None) -> str:
        """What took its calibration's worth before a day: on that day itself nobody knows what came first."""
        if calibration and calibration.failed:
            return f"lay {calibration.failed}"
        broken: list[tuple[Mishap | InterimCheck, str]] = [
            *((each, f"was {each.what} on {each.on} ({each.why})") for each in self.mishaps),
            *((each, f"lay {each.failed}") for each in self.checks if each.failed),
        ]
        told = (says for each, says in broken if each.on < day and not (calibration and seen_since(calibration, each)))
        return next(told, "")

    def calibrated_to(self, calibration: Calibration) -> str:
        """To which side it was calibrated: as stated, else to the one it measures to, and of both to the right."""
        return calibration.direction or (RIGHT if self.direction == BOTH else self.direction)

    def put_right_in(self, field: str) -> int:
        """The entry that put one of its fields right last; 0 where none did."""
        return next((change.entry for change in reversed(self.changes) if field in change.after), 0)

    def use(self, shown_nm: Decimal, fitted: tuple[Fitted, ...]) -> WrenchUse:
        """One setting or reading of it with what is fitted, as a correction is asked about it."""
        expanded = self.lever_expanded_mm
        return WrenchUse(
            wrench=self.number,
            shown_nm=shown_nm,
            fitted=fitted,
            lever_mm=self.lever_mm,
            lever_u_mm=None if expanded is None else expanded / COVERAGE,
        )

    @property
    def lever_text(self) -> str:
        """Its lever, with U (k = 2) where it was measured: "500 mm ± 2 mm"; "" where it is not known."""
        spread = "" if self.lever_expanded_mm is None else f" ± {self.lever_expanded_mm:f} mm"
        return "" if self.lever_mm is None else f"{self.lever_mm:f} mm{spread}"

    def as_taken_at(self, entry: int) -> "Wrench":
        """What it was taken for when an entry was told: without what was put right since."""
        taken = self
        for change in reversed(self.changes):
            if change.entry > entry:
                taken = taken._replace(**change.before)
        return taken

    def reaches(self, shown_nm: Decimal | None) -> bool:
        """Whether a setting or reading lies in its range, as far as both are known."""
        if shown_nm is None or self.min_nm is None or self.max_nm is None:
            return True
        return self.min_nm <= shown_nm <= self.max_nm

    def overloaded_by(self, shown_nm: Decimal | None) -> bool:
        """Whether a setting or reading lies above the highest value it reaches, as far as both are known."""
        return shown_nm is not None and self.max_nm is not None and shown_nm > self.max_nm

    def usable_at(self, day: date, moment: datetime) -> bool:
        """Whether it was not yet withdrawn at a moment, on a local day."""
        return all(each.before(day, moment) for each in self.out_since)

    def unrecorded_since(self, day: date | None) -> int:
        """Cycles beside the book's since a day, as the foreman estimated them."""
        return sum(each.cycles for each in self.estimates if day is None or each.on >= day)


def seen_since(look: Seen, cause: Seen) -> bool:
    """Whether a wrench was looked at after something befell it, a pass overloaded it, or another look found it out.

    With what is itself no look, of the day of a look whose hour nobody told, the order of telling decides.
    """
    if not isinstance(cause, Calibration | InterimCheck) and cause.on == look.on and look.at is None:
        return look.entry > cause.entry
    return is_after(look, cause)
