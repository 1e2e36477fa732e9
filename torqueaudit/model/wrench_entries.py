"""From a wrench's entries to what they say of it."""

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from torqueaudit.model.correction import Fitted
from torqueaudit.model.facts import optional_date, optional_decimal
from torqueaudit.model.wrench import (
    BOTH,
    OTHER,
    Calibration,
    Estimate,
    InterimCheck,
    Mishap,
    Paper,
    Point,
    Scale,
    Wrench,
)

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

MISHAPS = ("withdrawn.1", "mishandled.1")


def fold_wrench(entries: Sequence["Entry"]) -> Wrench:
    """A wrench as entered, with what was found of it since."""
    said = entries[0].said
    # Told again for the same day, a calibration replaces what was told before: that is how a slip is put right.
    by_day = {_on(entry): calibration_of(entry) for entry in entries if entry.kind == "calibrated.1"}
    return Wrench(
        entries[0].key,
        said["kind"],
        said["tag"],
        optional_decimal(said.get("min_nm")),
        optional_decimal(said.get("max_nm")),
        optional_decimal(said.get("lever_mm")),
        optional_date(said.get("due_on")),
        _withdrawn(entries),
        tuple(Scale(s["unit"], Decimal(s["division"]), Decimal(s["unit_nm"])) for s in said.get("scales", ())),
        said.get("construction", OTHER),
        said.get("direction", BOTH),
        said.get("owner", ""),
        tuple(by_day[day] for day in sorted(by_day)),
        tuple(check_of(e) for e in entries if e.kind == "interim_checked.1"),
        tuple(_mishap(e) for e in entries if e.kind in MISHAPS),
        tuple(
            Estimate(e.sequence, _on(e), e.said["cycles"], e.said["why"])
            for e in entries
            if e.kind == "use_estimated.1"
        ),
    )


def _withdrawn(entries: Sequence["Entry"]) -> str:
    """Why a wrench may not be used, as last told: only a passed calibration of that day or later brings it back."""
    why, since = "", date.min
    for entry in entries:
        if entry.kind in MISHAPS or not entry.judged.get("passed", True):
            why = entry.said["why"] if entry.kind == "withdrawn.1" else entry.judged["withdrawn"]
            since = _on(entry)
        elif entry.kind == "calibrated.1" and _on(entry) >= since:
            why = ""
    return why


def _on(entry: "Entry") -> date:
    """The day it was so: as said, else as judged then from the moment it happened, for a zone is nothing to fold by."""
    return date.fromisoformat(entry.said.get("on") or entry.judged.get("on") or entry.happened_at[:10])


def _mishap(entry: "Entry") -> Mishap:
    return Mishap(entry.sequence, _on(entry), entry.said.get("what", "withdrawn"), entry.said["why"])


def calibration_of(entry: "Entry") -> Calibration:
    """What one calibration entry says."""
    said = entry.said
    adapter, paper = said.get("adapter"), said.get("paper")
    return Calibration(
        entry.sequence,
        datetime.fromisoformat(entry.recorded_at),
        _on(entry),
        date.fromisoformat(entry.judged["due_on"]),
        said.get("certificate", ""),
        said.get("laboratory", ""),
        said.get("decision_rule", ""),
        _points(entry.judged.get("as_found", ())),
        _points(entry.judged.get("as_left", ())),
        Fitted(adapter["kind"], adapter["attributes"]) if adapter else None,
        Paper(paper["digest"], paper["suffix"], paper["size"]) if paper else None,
        entry.judged.get("withdrawn", ""),
    )


def check_of(entry: "Entry") -> InterimCheck:
    """What the entry of an interim check says."""
    said, judged = entry.said, entry.judged
    return InterimCheck(
        entry.sequence, _on(entry), said["tester"], _points(judged["points"]), judged.get("withdrawn", "")
    )


def _points(plain: Sequence[dict[str, Any]]) -> tuple[Point, ...]:
    return tuple(
        Point(
            Decimal(each["shown_nm"]),
            tuple(Decimal(reference) for reference in each["references_nm"]),
            optional_decimal(each.get("expanded")),
            optional_decimal(each.get("interval")),
            optional_decimal(each.get("loading_point")),
        )
        for each in plain
    )
