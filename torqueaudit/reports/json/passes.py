"""The passes over a fastener as JSON."""

from torqueaudit.model.job.facts import AtSlot
from torqueaudit.model.shown.passes import LoggedView, PassView
from torqueaudit.model.shown.tightenings import PassLine, TighteningsView
from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.reports.json.values import Object, digits, iso


def tightenings_json(view: TighteningsView) -> Object:
    """Every pass over one fastener or group, with the budget of its torque line by line."""
    return {
        "job": view.job,
        "fastener": view.fastener,
        "specified": view.specified,
        "source": view.source,
        "demo": view.demo,
        "passes": [_pass(each) for each in view.passes],
    }


def _pass(line: PassLine) -> Object:
    view, judged = line.done, line.done.judged
    return {
        "entry": view.entry,
        "position": line.position,
        "name": line.name,
        "stands": line.stands,
        "final": view.final,
        "by": view.by,
        "when": iso(view.when),
        "outcome": view.outcome,
        "wrench": view.wrench,
        "shown": view.shown,
        "applied_nm": digits(view.applied_nm),
        "corrected_nm": digits(view.corrected_nm),
        "corrected_expanded_nm": digits(view.corrected_expanded_nm),
        "not_known": view.not_known,
        "expanded_nm": digits(view.expanded_nm),
        **seat_json(view),
        **at_slot_json(view.beyond.at_slot),
        "beyond": view.beyond.says,
        "verdict": judged.verdict,
        "decision_rule": judged.decision_rule,
        "probability": digits(judged.probability),
        "not_proved": judged.not_proved,
        "deviation_corrected": digits(view.deviation),
        "budget": [_share(each) for each in view.budget],
        "drag_budget": [_share(each) for each in view.beyond.drag.lines] if view.beyond.drag else [],
        "cycles": view.cycles,
        "log": logged_json(line.log) if line.log else None,
    }


def logged_json(view: LoggedView) -> Object:
    """One row of a wrench's log."""
    return {**view._asdict(), "when": iso(view.when)}


def seat_json(view: PassView) -> Object:
    """The drag of a self-locking nut, and what is left at its seat where it comes on top, which is judged."""
    drag, seat = view.beyond.drag, view.seat
    return {
        "drag_nm": digits(drag.nm if drag else None),
        "seat_nm": digits(seat.nm if seat else None),
        "seat_expanded_nm": digits(seat.expanded_nm if seat else None),
    }


def at_slot_json(at_slot: AtSlot | None) -> Object:
    """The torque at the slot that a castle nut was turned on to; `slot_below`: a wrench set to it did not click."""
    return {
        "slot_nm": digits(at_slot.nm if at_slot else None),
        "slot_expanded_nm": digits(at_slot.expanded_nm if at_slot else None),
        "slot_below": at_slot.below if at_slot else None,
    }


def _share(line: BudgetLine) -> Object:
    return {"name": line.name, "relative": digits(line.relative), "adds": line.adds}
