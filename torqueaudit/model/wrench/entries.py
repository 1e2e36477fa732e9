"""From a wrench's entries to what they say of it, and what a calibration says as an entry holds it."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from math import inf
from typing import TYPE_CHECKING, Any, TypeVar

from torqueaudit.model.job.noted import optional_date, optional_decimal
from torqueaudit.model.torque.fitted import adapters_in
from torqueaudit.model.torque.units import NEWTON_METRE
from torqueaudit.model.unread import told_of
from torqueaudit.model.wrench.classes import OTHER
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.wrench import (
    BOTH,
    Calibration,
    Change,
    Estimate,
    HourTold,
    InterimCheck,
    Mishap,
    OutSince,
    Paper,
    Scale,
    Struck,
    Wrench,
    seen_since,
)

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

L = TypeVar("L", Calibration, InterimCheck)
MISHAPS = ("withdrawn", "mishandled")
KINDS = frozenset(
    [
        "entered.1",
        "calibrated.1",
        "changed.1",
        "interim_checked.1",
        "look_timed.1",
        "mishandled.1",
        "mishandled.2",
        "struck.1",
        "struck.2",
        "use_estimated.1",
        "use_estimated.2",
        "withdrawn.1",
        "withdrawn.2",
    ]
)
STRUCK, CHANGED, TIMED = "struck", "changed", "look_timed"
NOT_STATED: dict[str, Any] = {
    "min_nm": None,
    "max_nm": None,
    "lever_mm": None,
    "lever_expanded_mm": None,
    "scales": (),
    "construction": OTHER,
    "iso_class": "",
    "direction": BOTH,
    "direction_stated": False,
    "owner": "",
}


def fold_wrench(told: Sequence["Entry"]) -> Wrench:
    """A wrench as entered, with what was found of it since and not struck.

    With an entry that cannot be read it is out of use: that one may say that it was found out. Raises NothingKnown
    where the first one cannot be read.
    """
    wrench: Wrench
    wrench, unread = told_of(told, _standing_wrench, KINDS)
    return wrench._replace(unread=unread, withdrawn=wrench.withdrawn or str(unread[0])) if unread else wrench


def _standing_wrench(told: Sequence["Entry"]) -> Wrench:
    struck = tuple(_struck(entry) for entry in told if entry.what == STRUCK)
    gone = {each.entry for each in struck}
    return _folded([entry for entry in told if entry.sequence not in gone], struck)


def fold_struck(told: Sequence["Entry"]) -> Wrench:
    """What was told of a wrench and struck since, as it would read had it stood: for its history only.

    With what was put right of it, struck or not: each change is read against what was so before it.
    """
    wrench: Wrench = told_of(told, _struck_wrench, KINDS)[0]
    return wrench


def _struck_wrench(told: Sequence["Entry"]) -> Wrench:
    gone = {entry.said["entry"] for entry in told if entry.what == STRUCK}
    return _folded([told[0], *(entry for entry in told if entry.sequence in gone or entry.what == CHANGED)], ())


def _folded(entries: Sequence["Entry"], struck: tuple[Struck, ...]) -> Wrench:
    facts, changes = _facts(entries)
    hours = tuple(_hour_told(entry) for entry in entries if entry.what == TIMED)
    timed = {each.of: each for each in hours}
    calibrations = [_timed(calibration_of(e), timed.get(e.sequence)) for e in entries if e.what == "calibrated"]
    checks = [_timed(check_of(e), timed.get(e.sequence)) for e in entries if e.what == "interim_checked"]
    mishaps = [_mishap(entry) for entry in entries if entry.what in MISHAPS]
    standing = _standing(calibrations, checks, mishaps)
    told = {entry.sequence: entry for entry in entries}
    return Wrench(
        **facts,
        number=entries[0].key,
        due_on=optional_date(entries[0].judged.get("due_on") or entries[0].said.get("due_on")),
        withdrawn=_why_withdrawn(told[standing[-1].entry]) if standing else "",
        calibrations=tuple(sorted(calibrations, key=_place)),
        checks=tuple(sorted(checks, key=_place)),
        mishaps=tuple(mishaps),
        estimates=tuple(
            Estimate(e.sequence, _on(e), e.said["cycles"], e.told("why")) for e in entries if e.what == "use_estimated"
        ),
        struck=struck,
        out_since=tuple(OutSince(each.on, each.at) for each in standing),
        changes=changes,
        hours=hours,
    )


def _standing(
    calibrations: Sequence[Calibration], checks: Sequence[InterimCheck], mishaps: Sequence[Mishap]
) -> list[Calibration | InterimCheck | Mishap]:
    """What keeps a wrench out of use, the last of it last: only a passed calibration done since brings it back."""
    causes: list[Calibration | InterimCheck | Mishap] = [
        *mishaps,
        *(each for each in checks if each.failed),
        *(each for each in calibrations if each.failed),
    ]
    passed = [each for each in calibrations if not each.failed]
    return sorted((each for each in causes if not any(seen_since(done, each) for done in passed)), key=_place)


def _place(cause: Calibration | InterimCheck | Mishap) -> tuple[date, float, int]:
    """Where something lies in time, as far as it is known; on its day behind all else where it is not."""
    return cause.on, cause.at.timestamp() if cause.at else inf, cause.entry


def _hour_told(entry: "Entry") -> HourTold:
    at = datetime.fromisoformat(entry.judged["at"])
    return HourTold(entry=entry.sequence, on=_on(entry), of=entry.said["entry"], hour=entry.said["hour"], at=at)


def _timed(look: L, told: HourTold | None) -> L:
    """A look with the hour that was told of it later."""
    return look._replace(at=told.at, hour=told.hour) if told else look


def _facts(entries: Sequence["Entry"]) -> tuple[dict[str, Any], tuple[Change, ...]]:
    """What a wrench is, by the fields of `Wrench`, and how that was put right since it was entered."""
    facts = {**NOT_STATED, **stated_in(entries[0].said)}
    changes = []
    for entry in (each for each in entries if each.what == CHANGED):
        after = stated_in(entry.said)
        before = {name: facts[name] for name in after}
        changes.append(Change(entry.sequence, _on(entry), before, after))
        facts |= after
    return facts, tuple(changes)


def stated_in(said: Mapping[str, Any]) -> dict[str, Any]:
    """What is said of what a wrench is, by the fields of `Wrench`. A lever told anew leaves the U of the one before."""
    stated = {name: read(said[name]) for name, read in READERS.items() if name in said}
    if "lever_mm" in stated:
        stated.setdefault("lever_expanded_mm", None)
    return {**stated, "direction_stated": True} if "direction" in stated else stated


def _scales(plain: Sequence[dict[str, Any]]) -> tuple[Scale, ...]:
    return tuple(Scale(each["unit"], Decimal(each["division"]), Decimal(each["unit_nm"])) for each in plain)


READERS: dict[str, Callable[[Any], Any]] = {
    "kind": str,
    "tag": str,
    "min_nm": optional_decimal,
    "max_nm": optional_decimal,
    "lever_mm": optional_decimal,
    "lever_expanded_mm": optional_decimal,
    "scales": _scales,
    "construction": str,
    "iso_class": str,
    "direction": str,
    "owner": str,
}


def _why_withdrawn(entry: "Entry") -> str:
    """In the words of whoever took it out of use; else what happened to it, or what a look found."""
    if entry.what == "withdrawn":
        return entry.told("why")
    return entry.judged.get("withdrawn") or f"{entry.said['what']} on {_on(entry)}: {entry.told('why')}"


def _struck(entry: "Entry") -> Struck:
    return Struck(entry.said["entry"], entry.sequence, _on(entry), entry.told("why"))


def _at(entry: "Entry") -> datetime:
    return datetime.fromisoformat(entry.happened_at)


def _on(entry: "Entry") -> date:
    """The day it was so: as said, else as judged then from the moment it happened, for a zone is nothing to fold by."""
    return date.fromisoformat(entry.said.get("on") or entry.judged.get("on") or entry.happened_at[:10])


def _mishap(entry: "Entry") -> Mishap:
    return Mishap(
        entry=entry.sequence,
        on=_on(entry),
        what=entry.said.get("what", "withdrawn"),
        why=entry.told("why"),
        at=_at(entry),
    )


def calibration_of(entry: "Entry") -> Calibration:
    """What one calibration entry says."""
    said = entry.said
    paper = said.get("paper")
    return Calibration(
        entry=entry.sequence,
        recorded_at=datetime.fromisoformat(entry.recorded_at),
        on=_on(entry),
        due_on=date.fromisoformat(entry.judged["due_on"]),
        certificate=said.get("certificate", ""),
        laboratory=said.get("laboratory", ""),
        decision_rule=said.get("decision_rule", ""),
        as_found=_points(entry.judged.get("as_found", ())),
        as_left=_points(entry.judged.get("as_left", ())),
        adapters=adapters_in(said),
        paper=Paper(paper["digest"], paper["suffix"], paper["size"]) if paper else None,
        failed=entry.judged.get("withdrawn", ""),
        at=datetime.fromisoformat(entry.judged["at"]) if "at" in entry.judged else None,
        hour=said.get("hour", ""),
        direction=said.get("direction", ""),
        reference=said.get("reference", ""),
        temperature_c=optional_decimal(said.get("temperature_c")),
        technician=entry.told("technician"),
    )


def check_of(entry: "Entry") -> InterimCheck:
    """What the entry of an interim check says."""
    said, judged = entry.said, entry.judged
    return InterimCheck(
        entry=entry.sequence,
        on=_on(entry),
        tester=said["tester"],
        points=_points(judged["points"]),
        failed=judged.get("withdrawn", ""),
        at=_at(entry),
        certificate=said.get("tester_certificate", ""),
        expanded=optional_decimal(said.get("tester_expanded")),
    )


def _points(plain: Sequence[dict[str, Any]]) -> tuple[Point, ...]:
    return tuple(
        Point(
            shown_nm=Decimal(each["shown_nm"]),
            references_nm=tuple(Decimal(reference) for reference in each["references_nm"]),
            expanded=optional_decimal(each.get("expanded")),
            interval=optional_decimal(each.get("interval")),
            loading_point=optional_decimal(each.get("loading_point")),
            unit=each.get("unit", NEWTON_METRE.symbol),
            unit_nm=Decimal(each.get("unit_nm", 1)),
        )
        for each in plain
    )


def plain_points(points: Sequence[Point]) -> list[dict[str, Any]]:
    """Points as an entry holds them."""
    return [_plain_point(point) for point in points]


def _plain_point(point: Point) -> dict[str, Any]:
    stated = {"expanded": point.expanded, "interval": point.interval, "loading_point": point.loading_point}
    unit = {} if point.unit_nm == 1 else {"unit": point.unit, "unit_nm": str(point.unit_nm)}
    return {
        "shown_nm": str(point.shown_nm),
        "references_nm": [str(reference) for reference in point.references_nm],
        **{key: str(figure) for key, figure in stated.items() if figure is not None},
        **unit,
    }


def plain_paper(paper: Paper) -> dict[str, Any]:
    """A paper as an entry holds it."""
    return {"digest": paper.digest, "suffix": paper.suffix, "size": paper.size}
