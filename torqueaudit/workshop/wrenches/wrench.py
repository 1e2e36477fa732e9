"""Torque wrenches: entered, dropped, overloaded, withdrawn, and used beside the book."""

from calendar import monthrange
from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from torqueaudit.book import queries
from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.wrench.acts import NewWrench, WrenchChange
from torqueaudit.model.wrench.classes import BAR, CLASSES, INDICATING, KINDS_OF_TYPES, OTHER, SCREWDRIVER, SETTING
from torqueaudit.model.wrench.wrench import BOTH, Wrench
from torqueaudit.read.wrench import read_range, read_scales
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.numbers import enter
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.door.workshop import Workshop

KINDS = (SETTING, INDICATING)
A_KIND = "a wrench is setting (it clicks) or indicating (it shows)"
CONSTRUCTIONS = (BAR, SCREWDRIVER, OTHER)
DIRECTIONS = ("right", "left", BOTH)
DROPPED, OVERLOADED = "dropped", "overloaded"
MOST_CYCLES = 1_000_000
WRITTEN = {
    ActName.CALIBRATE: "calibrated.1",
    ActName.CHECK_WRENCH: "interim_checked.1",
    ActName.MISHANDLE: "mishandled.2",
    ActName.WITHDRAW_WRENCH: "withdrawn.2",
    ActName.ESTIMATE_USE: "use_estimated.2",
}


def add_wrench(workshop: Workshop, wrench: NewWrench, say: Say) -> str:
    """Enter a torque wrench; returns its number. A due date counts for a calibration's months from that day at most.

    Raises Refused for an unknown kind, a range or scale that is none.
    """
    said = entered_with(workshop, wrench)
    return enter(workshop, "wrench", "W", said, {}, say, lambda attempt: due_of(attempt, wrench.due_on))


def entered_with(workshop: Workshop, wrench: NewWrench) -> dict[str, Any]:
    """What a new wrench is entered with. Raises Refused for an unknown kind, a range or scale that is none."""
    if not wrench.kind:
        raise Refused(f"no kind: {A_KIND}")
    if not wrench.tag.strip():
        raise Refused("a wrench has a tag, what people call it")
    said = stated(workshop, wrench)
    require_fitting_class(wrench.kind, wrench.construction, wrench.iso_class)
    if wrench.due_on is not None:
        said["due_on"] = wrench.due_on.isoformat()
    return said


def due_of(attempt: Attempt, stated: date | None) -> dict[str, Any]:
    """Until when a stated day is believed; nothing where none is stated."""
    if stated is None:
        return {}
    # What was stated beyond that is cut, not refused: decision 0018.
    workshop = attempt.workshop
    longest = later_by(workshop.local_day(attempt.happened_at), workshop.settings.calibration_months)
    return {"due_on": min(stated, longest).isoformat()}


def stated(workshop: Workshop, told: NewWrench | WrenchChange) -> dict[str, Any]:
    """What is told of what a wrench is, as entries hold it; what is empty is not told.

    Raises Refused for an unknown kind, construction or direction, and for a range or scale that is none.
    """
    for value, known, what in (
        (told.kind, KINDS, A_KIND),
        (told.construction, CONSTRUCTIONS, f"the construction is {', '.join(CONSTRUCTIONS)}"),
        (told.direction, DIRECTIONS, f"a wrench measures to the {', '.join(DIRECTIONS)}"),
        (told.iso_class, CLASSES, f"type and class of ISO 6789 are {', '.join(CLASSES)}"),
    ):
        if value and value not in known:
            raise Refused(f"{value}: {what}")
    words = {
        "kind": told.kind,
        "tag": told.tag.strip(),
        "construction": told.construction,
        "iso_class": told.iso_class,
        "direction": told.direction,
        "owner": told.owner,
    }
    said: dict[str, Any] = {name: value for name, value in words.items() if value}
    with refused_if_unreadable():
        said.update(_written(workshop, told))
    measures = {"lever_mm": told.lever_mm, "lever_expanded_mm": told.lever_expanded_mm}
    return said | {name: str(value) for name, value in measures.items() if value is not None}


def require_fitting_class(kind: str, construction: str, iso_class: str) -> None:
    """Refuse a type and class of ISO 6789 that a wrench of that kind and construction cannot be of."""
    if not iso_class:
        return
    of_kind, of_class = KINDS_OF_TYPES[iso_class.partition(" ")[0]], CLASSES[iso_class]
    if kind != of_kind:
        raise Refused(f"a tool of class {iso_class} is {of_kind}, not {kind}; look which of the two is right")
    if construction not in (OTHER, of_class.construction):
        raise Refused(f"class {iso_class} is a {of_class.says}, not a {construction}; look which of the two is right")


def cut_text(stated: date | None, due_on: date | None, months: int) -> str:
    """A sentence where a stated day lies later than a calibration can hold, "" where it does not."""
    if stated is None or due_on is None or stated <= due_on:
        return ""
    return f"its calibration counts until {due_on} only, not until {stated}, for one holds at most {months} months"


def remark_on(workshop: Workshop, number: str) -> str:
    """What is to be said of the day until which a wrench was entered as calibrated; "" where nothing is."""
    stated = workshop.book.entries(f"wrench/{number}")[0].said.get("due_on")
    due_on = require_wrench(workshop, number).due_on
    return cut_text(date.fromisoformat(stated) if stated else None, due_on, workshop.settings.calibration_months)


def later_by(day: date, months: int) -> date:
    """The same day some months on, or the last of its month: 12 months from 2024-02-29 is 2025-02-28."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def withdraw_wrench(workshop: Workshop, number: str, why: str, say: Say) -> None:
    """Take a wrench out of use, with the reason; a calibration brings it back."""
    if not why.strip():
        raise Refused(f"{number}: say why it is withdrawn")

    def judged(_: Wrench, attempt: Attempt) -> Mapping[str, Any]:
        return {"on": day_of(attempt)}

    tell(workshop, number, ActName.WITHDRAW_WRENCH, {"why": FreeWords(why)}, say, judged)


def mishandle(workshop: Workshop, number: str, what: str, why: str, say: Say) -> None:
    """Record that a wrench was dropped or overloaded, as anybody may: it is withdrawn until it is calibrated."""
    if what not in (DROPPED, OVERLOADED):
        raise Refused(f"{what}: a wrench was {DROPPED} or {OVERLOADED}; for all else withdraw it")
    if not why.strip():
        raise Refused(f"{number}: say how it was {what}")

    def judged(_: Wrench, attempt: Attempt) -> Mapping[str, Any]:
        return {"on": day_of(attempt)}

    said = {"what": what, "why": FreeWords(why)}
    tell(workshop, number, ActName.MISHANDLE, said, say, judged)


def estimate_use(workshop: Workshop, number: str, cycles: int, why: str, on: date, say: Say) -> None:
    """Record the foreman's estimate of cycles that the book does not know, done around a day."""
    if not 0 < cycles <= MOST_CYCLES:
        raise Refused(f"{cycles}: estimate between 1 and {MOST_CYCLES} cycles, as a number without a sign")
    if not why.strip():
        raise Refused(f"{number}: say what the estimate rests on")
    require_past(workshop, on)
    said = {"on": on.isoformat(), "cycles": cycles, "why": FreeWords(why)}
    tell(workshop, number, ActName.ESTIMATE_USE, said, say)


def require_wrench(workshop: Workshop, number: str) -> Wrench:
    """A wrench by number. Refused when there is none."""
    wrench = workshop.wrench(number)
    if wrench is None:
        raise Refused(f"{number}: no such wrench", See(Topic.WRENCHES))
    return wrench


def _written(workshop: Workshop, told: NewWrench | WrenchChange) -> dict[str, Any]:
    """Range and scales, as the entry holds them."""
    units = workshop.plugins.units
    ends = read_range(units, told.lowest, told.highest)
    scales = read_scales(units, told.scales, ends[1] if ends else None)
    said: dict[str, Any] = {"min_nm": str(ends[0]), "max_nm": str(ends[1])} if ends else {}
    if scales:
        said["scales"] = [
            {"unit": each.unit.symbol, "division": str(each.value), "unit_nm": str(each._replace(value=Decimal(1)).nm)}
            for each in scales
        ]
    return said


def require_past(workshop: Workshop, day: date) -> None:
    """Refuse a day that has not come."""
    if day > workshop.today():
        raise Refused(f"{day} has not come yet; give the day it was done")


def day_of(attempt: Attempt) -> str:
    """The local day on which an act happened, as entries hold it."""
    return attempt.workshop.local_day(attempt.happened_at).isoformat()


def tell(
    workshop: Workshop,
    number: str,
    act: ActName,
    said: Mapping[str, Any],
    say: Say,
    judged: Callable[[Wrench, Attempt], Mapping[str, Any]] | None = None,
) -> Entry:
    """One entry on a wrench that is in the book, of the kind that is written of such an act."""
    subject = f"wrench/{number}"

    def build(attempt: Attempt) -> list[Draft]:
        if not number.startswith("W-") or not attempt.entries(subject):
            raise Refused(f"{number}: no such wrench", See(Topic.WRENCHES))
        wrench = require_wrench(workshop, number)
        return [attempt.draft(subject, WRITTEN[act], said, judged(wrench, attempt) if judged else None)]

    return record(workshop, say, act, subject, said, build)[0]


def wrenches(workshop: Workshop) -> list[Wrench]:
    """Every wrench, by its number."""
    numbers = sorted((row.wrench for row in queries.wrenches(workshop.book)), key=lambda number: (len(number), number))
    return [wrench for number in numbers if (wrench := workshop.wrench(number))]
