"""From an entry to the fact it says. Every version of a kind ever released keeps its reader here."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from torqueaudit.model.facts import (
    Check,
    CheckMethod,
    Concession,
    Fact,
    HandOver,
    Loosening,
    MarkSeen,
    MarkState,
    Measured,
    Outcome,
    PartFitted,
    Recheck,
    Release,
    Ride,
    StepDone,
    Strike,
    Tightening,
    key_of,
    noted_of,
    optional_date,
    optional_decimal,
)

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry


def fact_of(entry: "Entry") -> Fact:
    """The fact an entry says. Raises KeyError for a kind this program has never written."""
    return READERS[entry.kind](entry)


def _tightened(entry: "Entry") -> Tightening:
    said, judged = entry.said, entry.judged
    return Tightening(
        noted_of(entry),
        said["position"],
        said["stage"],
        judged["final"],
        said.get("wrench", ""),
        said.get("shown", ""),
        tuple(said.get("fitted", ())),
        Outcome(said["outcome"]),
        said["thread_ok"],
        tuple(said.get("helpers", ())),
        optional_decimal(judged.get("shown_nm")),
        optional_decimal(judged.get("applied_nm")),
        optional_decimal(judged.get("lower_nm")),
        optional_decimal(judged.get("upper_nm")),
        judged["verdict"],
    )


def _loosened(entry: "Entry") -> Loosening:
    return Loosening(noted_of(entry), entry.said["position"], entry.said["why"])


def _mark_seen(entry: "Entry") -> MarkSeen:
    said = entry.said
    return MarkSeen(
        noted_of(entry), said["position"], MarkState(said["state"]), said.get("why", ""), entry.judged["of"]
    )


def _measured(entry: "Entry") -> Measured:
    said = entry.said
    return Measured(
        noted_of(entry),
        said["key"],
        Decimal(said["value"]),
        said["unit"],
        said.get("place", ""),
        entry.judged.get("inside"),
    )


def _step_done(entry: "Entry") -> StepDone:
    return StepDone(noted_of(entry), entry.said["key"], entry.said["answer"], entry.said.get("remark", ""))


def _fitted(entry: "Entry") -> PartFitted:
    said = entry.said
    return PartFitted(noted_of(entry), said["key"], said["part"], said.get("lot", ""), said["new"])


def _checked(entry: "Entry") -> Check:
    said = entry.said
    return Check(
        noted_of(entry), said["position"], CheckMethod(said["method"]), said.get("why", ""), entry.judged["of"]
    )


def _conceded(entry: "Entry") -> Concession:
    said = entry.said
    return Concession(
        noted_of(entry), key_of(said["finding"]), said["basis"], said["limit"], date.fromisoformat(said["expires_on"])
    )


def _released(entry: "Entry") -> Release:
    return Release(noted_of(entry), tuple(key_of(each) for each in entry.judged["shown"]))


def _handed_over(entry: "Entry") -> HandOver:
    judged = entry.judged
    return HandOver(
        noted_of(entry),
        entry.said["odometer_m"],
        optional_date(judged.get("due_on")),
        judged.get("due_distance_m"),
        tuple(key_of(each) for each in judged["stops"]),
    )


def _ridden(entry: "Entry") -> Ride:
    return Ride(noted_of(entry), entry.said["odometer_m"], entry.said.get("remark", ""))


def _rechecked(entry: "Entry") -> Recheck:
    return Recheck(noted_of(entry), entry.said["odometer_m"], entry.said.get("remark", ""))


def _struck(entry: "Entry") -> Strike:
    return Strike(noted_of(entry), entry.said["entry"], entry.judged["kind"], entry.said["why"])


READERS: dict[str, Callable[["Entry"], Fact]] = {
    "tightened.1": _tightened,
    "loosened.1": _loosened,
    "mark_seen.1": _mark_seen,
    "measured.1": _measured,
    "step_done.1": _step_done,
    "fitted.1": _fitted,
    "checked.1": _checked,
    "conceded.1": _conceded,
    "released.1": _released,
    "handed_over.1": _handed_over,
    "ridden.1": _ridden,
    "rechecked.1": _rechecked,
    "struck.1": _struck,
}
