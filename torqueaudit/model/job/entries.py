"""From an entry to the fact it says. Every version of a kind ever released keeps its reader here."""

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import prod
from typing import TYPE_CHECKING, Any

from torqueaudit.model.job.facts import (
    AtSlot,
    Check,
    CheckMethod,
    Concession,
    Fact,
    Input,
    Logged,
    Loosening,
    MarkSeen,
    MarkState,
    Measured,
    Outcome,
    PartFitted,
    PhotoErased,
    Photographed,
    Release,
    Slot,
    StepDone,
    Strike,
    Tightening,
)
from torqueaudit.model.job.noted import key_of, noted_of, optional_date, optional_decimal
from torqueaudit.model.job.photo import Photo
from torqueaudit.model.job.road import (
    DayAsked,
    Half,
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

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

IN_ORDER, FAULT_FOUND = "in order", "fault found"  # what another workshop says of a re-check
OF_A_WRENCH = ("calibration ", "permissible deviation ", "scale division ")  # lines of a budget, before version 2


def fact_of(entry: "Entry") -> Fact:
    """The fact an entry says. Raises KeyError for a kind this program has never written."""
    return READERS[entry.kind](entry)


def _first_tightened(entry: "Entry") -> Tightening:
    """As it was written before version 2: in one budget, with the torque shown at the end of an angle left out."""
    done, judged = _tightened(entry), entry.judged
    lines = done.wrench_budget
    of_wrench = tuple(line for line in lines if line.name.startswith(OF_A_WRENCH))
    return done._replace(
        wrench_budget=of_wrench,
        fitted_budget=tuple(line for line in lines if line not in of_wrench),
        final_shown_nm=_final_shown(done) if "final_nm" in judged else None,
    )


def _final_shown(done: Tightening) -> Decimal | None:
    """What the wrench showed at the end of an angle, by what it made of the torque before it."""
    if done.final_nm is None or done.shown_nm is None or not done.applied_nm:
        return None
    return done.final_nm * done.shown_nm / done.applied_nm


def _tightened(entry: "Entry") -> Tightening:
    said, judged, corrections = entry.said, entry.judged, entry.judged.get("corrections", ())
    return Tightening(
        noted=noted_of(entry),
        position=said["position"],
        stage=said["stage"],
        final=judged["final"],
        wrench=said.get("wrench", ""),
        shown=said.get("shown", ""),
        fitted=tuple(said.get("fitted", ())),
        outcome=Outcome(said["outcome"]),
        thread_ok=said["thread_ok"],
        helpers=tuple(said.get("helpers", ())),
        shown_nm=optional_decimal(judged.get("shown_nm")),
        applied_nm=optional_decimal(judged.get("applied_nm")),
        lower_nm=optional_decimal(judged.get("lower_nm")),
        upper_nm=optional_decimal(judged.get("upper_nm")),
        verdict=judged["verdict"],
        rule=judged.get("decision_rule", SIMPLE),
        probability=optional_decimal(judged.get("probability")),
        expanded_nm=optional_decimal(judged.get("expanded_nm")),
        not_proved=judged.get("not_proved", ""),
        wrench_budget=tuple(map(_line, judged.get("budget", ()))),
        fitted_budget=tuple(_line(line) for each in corrections for line in each.get("budget", ())),
        cycles=judged.get("cycles"),
        angle_deg=optional_decimal(judged.get("angle_deg")),
        final_nm=optional_decimal(judged.get("final_nm")),
        drag=_drag(judged) if "drag_nm" in judged else None,
        slot=Slot(said["slot"]) if "slot" in said else None,
        corrected_by=prod((Fraction(each["factor"]) for each in corrections), start=Fraction(1)),
        deviation=optional_decimal(judged.get("deviation")),
        cautions=tuple(each["caution"] for each in corrections if "caution" in each),
        final_expanded_nm=optional_decimal(judged.get("final_expanded_nm")),
        final_not_proved=judged.get("final_not_proved", ""),
        final_shown_nm=optional_decimal(judged.get("final_shown_nm")),
        at_slot=_at_slot(judged, said.get("slot_shown", "")) if "slot_nm" in judged else None,
        final_shown=said.get("final_shown", ""),
        seat=_seat(judged) if "seat_nm" in judged else None,
        log=said.get("log"),
    )


def _at_slot(judged: Mapping[str, Any], shown: str) -> AtSlot:
    return AtSlot(
        nm=Decimal(judged["slot_nm"]),
        expanded_nm=optional_decimal(judged.get("slot_expanded_nm")),
        not_proved=judged.get("slot_not_proved", ""),
        shown_nm=Decimal(judged["slot_shown_nm"]),
        below=judged.get("slot_below", False),
        shown=shown,
    )


def _drag(judged: Mapping[str, Any]) -> Drag:
    mean = judged["drag_nm"]
    return Drag(
        exact=Fraction(mean),
        least_nm=Decimal(judged.get("drag_least_nm", mean)),
        most_nm=Decimal(judged.get("drag_most_nm", mean)),
        lines=tuple(map(_line, judged.get("drag_budget", ()))),
        same=judged.get("drag_same", False),
        not_proved=judged.get("drag_not_proved", ""),
    )


def _seat(judged: Mapping[str, Any]) -> Seat:
    expanded_nm = optional_decimal(judged.get("seat_expanded_nm"))
    return Seat(Decimal(judged["seat_nm"]), expanded_nm, judged.get("seat_not_proved", ""))


def _line(plain: Mapping[str, Any]) -> BudgetLine:
    return BudgetLine(plain["name"], Decimal(plain["relative"]), plain.get("adds", False))


def _logged(entry: "Entry") -> Logged:
    said, judged = entry.said, entry.judged
    return Logged(
        noted=noted_of(entry),
        position=said["position"],
        stage=said["stage"],
        wrench=said["wrench"],
        shown=said["shown"],
        angle=said.get("angle", ""),
        final_shown=said.get("final_shown", ""),
        fitted=tuple(said.get("fitted", ())),
        no_adapter=said.get("no_adapter", False),
        number=said.get("number", ""),
        run_by=judged["run_by"],
        file=judged["file"],
        line=judged["line"],
    )


def _loosened(entry: "Entry") -> Loosening:
    return Loosening(noted_of(entry), entry.said["position"], entry.told("why"))


def _mark_seen(entry: "Entry") -> MarkSeen:
    said = entry.said
    return MarkSeen(
        noted=noted_of(entry),
        position=said["position"],
        state=MarkState(said["state"]),
        why=entry.told("why"),
        of=entry.judged["of"],
    )


def _measured(entry: "Entry") -> Measured:
    said, judged = entry.said, entry.judged
    derived = judged if "inputs" in said else said
    return Measured(
        noted=noted_of(entry),
        key=said["key"],
        value=Decimal(derived["value"]),
        unit=derived["unit"],
        place=said.get("place", ""),
        inside=judged.get("inside"),
        kind=judged.get("kind", DIMENSION),
        inputs=tuple(_told(each) for each in said.get("inputs", ())),
        conditions=tuple((name, asked) for name, asked in judged.get("conditions", ())),
        expanded=optional_decimal(judged.get("expanded")),
        verdict=judged.get("verdict", NOT_JUDGED),
        rule=judged.get("decision_rule", SIMPLE),
        probability=optional_decimal(judged.get("probability")),
        says=judged.get("says", ""),
        mend=judged.get("mend", ""),
        not_told=tuple(judged.get("not_told", ())),
    )


def _told(plain: Mapping[str, str]) -> Input:
    expanded = optional_decimal(plain.get("expanded"))
    return Input(
        name=plain["name"],
        value=Decimal(plain["value"]),
        unit=plain.get("unit", ""),
        expanded=expanded,
        place=plain.get("place", ""),
    )


def _step_done(entry: "Entry") -> StepDone:
    return StepDone(noted_of(entry), entry.said["key"], entry.said["answer"], entry.told("remark"))


def _fitted(entry: "Entry") -> PartFitted:
    said = entry.said
    attributes = tuple((name, value) for name, value in said.get("attributes", ()))
    return PartFitted(
        noted=noted_of(entry),
        key=said["key"],
        part=said["part"],
        lot=said.get("lot", ""),
        new=said["new"],
        attributes=attributes,
    )


def _checked(entry: "Entry") -> Check:
    said = entry.said
    return Check(
        noted=noted_of(entry),
        position=said["position"],
        method=CheckMethod(said["method"]),
        why=entry.told("why"),
        of=entry.judged["of"],
    )


def _conceded(entry: "Entry") -> Concession:
    said = entry.said
    return Concession(
        noted=noted_of(entry),
        covers=key_of(said["finding"]),
        basis=entry.told("basis"),
        limit=entry.told("limit"),
        expires_on=date.fromisoformat(said["expires_on"]),
    )


def _released(entry: "Entry") -> Release:
    return Release(noted_of(entry), tuple(key_of(each) for each in entry.judged["shown"]))


def _handed_over(entry: "Entry") -> HandOver:
    judged = entry.judged
    return HandOver(
        noted=noted_of(entry),
        odometer_m=entry.said["odometer_m"],
        due_on=optional_date(judged.get("due_on")),
        due_distance_m=judged.get("due_distance_m"),
        stops=tuple(key_of(each) for each in judged["stops"]),
        with_stops=entry.told("with_stops"),
        plans=judged.get("plans", True),
    )


def _left(entry: "Entry") -> HandOver:
    """By whatever instrument the vehicle has, and by what that shows when the re-check is due."""
    said, judged = entry.said, entry.judged
    return HandOver(
        noted=noted_of(entry),
        odometer_m=said.get("odometer_m"),
        due_on=optional_date(judged.get("due_on")),
        due_distance_m=judged.get("due_distance_m"),
        stops=tuple(key_of(each) for each in judged["stops"]),
        with_stops=entry.told("with_stops"),
        plans=judged.get("plans", True),
        run_min=said.get("run_min"),
        due_min=judged.get("due_min"),
        per_day=judged.get("per_day"),
    )


def _ridden(entry: "Entry") -> Ride:
    return Ride(noted_of(entry), entry.said["odometer_m"], entry.told("remark"))


def _ridden_by(entry: "Entry") -> Ride:
    return Ride(noted_of(entry), entry.said.get("odometer_m"), entry.told("remark"), entry.said.get("run_min"))


def _day_asked(entry: "Entry") -> DayAsked:
    return DayAsked(noted_of(entry), date.fromisoformat(entry.said["on"]), Half(entry.said["half"]))


def _rechecked(entry: "Entry") -> Recheck:
    return Recheck(noted_of(entry), entry.said["odometer_m"], entry.told("remark"))


def _rechecked_by(entry: "Entry") -> Recheck:
    return Recheck(noted_of(entry), entry.said.get("odometer_m"), entry.told("remark"), entry.said.get("run_min"))


def _postponed(entry: "Entry") -> RecheckPostponed:
    said = entry.said
    return RecheckPostponed(
        noted=noted_of(entry),
        of=entry.judged["of"],
        until=optional_date(said.get("until")),
        until_m=said.get("until_m"),
        why=entry.told("why"),
        until_min=said.get("until_min"),
    )


def _refused(entry: "Entry") -> RecheckRefused:
    return RecheckRefused(noted_of(entry), entry.judged["of"], entry.told("why"))


def _referred(entry: "Entry") -> RecheckReferred:
    return RecheckReferred(noted_of(entry), entry.judged["of"], entry.told("to_whom"), entry.told("why"))


def _answered(entry: "Entry") -> RecheckAnswered:
    said = entry.said
    return RecheckAnswered(
        noted=noted_of(entry),
        of=entry.judged["of"],
        in_order={IN_ORDER: True, FAULT_FOUND: False}[said["found"]],
        odometer_m=said.get("odometer_m"),
        remark=entry.told("remark"),
        run_min=said.get("run_min"),
    )


def _reminded(entry: "Entry") -> Reminded:
    said = entry.said
    return Reminded(
        noted=noted_of(entry),
        kind=said["kind"],
        n=said["n"],
        way=said["way"],
        leaving=said["leaving"],
        target=said["target"],
        since=said.get("since", 0),
        due_on=optional_date(entry.judged.get("due_on")),
    )


def _photographed(entry: "Entry") -> Photographed:
    said = entry.said
    photo = Photo(said["digest"], said["bytes"], entry.judged["small"])
    return Photographed(noted_of(entry), photo, tuple(said["of"]), entry.told("why"))


def _photo_erased(entry: "Entry") -> PhotoErased:
    return PhotoErased(noted_of(entry), entry.said["digest"], entry.told("why"))


def _struck(entry: "Entry") -> Strike:
    return Strike(
        noted=noted_of(entry),
        entry=entry.said["entry"],
        kind=entry.judged["kind"],
        why=entry.told("why"),
        undone=entry.said.get("undone", False),
    )


READERS: dict[str, Callable[["Entry"], Fact]] = {
    "tightened.1": _first_tightened,
    "tightened.2": _tightened,  # a known deviation is corrected for, the scatter of one pass counts
    "logged.1": _logged,
    "loosened.1": _loosened,
    "loosened.2": _loosened,  # free words outside of the entry, as in each second version below
    "mark_seen.1": _mark_seen,
    "mark_seen.2": _mark_seen,
    "measured.1": _measured,
    "step_done.1": _step_done,
    "step_done.2": _step_done,
    "fitted.1": _fitted,
    "checked.1": _checked,
    "checked.2": _checked,
    "conceded.1": _conceded,
    "conceded.2": _conceded,
    "released.1": _released,
    "handed_over.1": _handed_over,
    "handed_over.2": _left,  # read off an hour meter too, or off nothing, as in two second versions below
    "ridden.1": _ridden,
    "ridden.2": _ridden_by,
    "day_asked.1": _day_asked,
    "rechecked.1": _rechecked,
    "rechecked.2": _rechecked_by,
    "recheck_postponed.1": _postponed,
    "recheck_refused.1": _refused,
    "recheck_referred.1": _referred,
    "recheck_answered.1": _answered,
    "photographed.1": _photographed,
    "photo_erased.1": _photo_erased,
    "reminded.1": _reminded,
    "struck.1": _struck,
    "struck.2": _struck,
}
