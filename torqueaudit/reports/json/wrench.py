"""Wrenches as JSON: one and all of them, and what a look at one makes of it."""

from torqueaudit.model.shown.wrench import (
    CalibrationView,
    DriftView,
    HistoryView,
    IntervalView,
    OrderAsked,
    OverloadView,
    PointView,
    UseView,
    WrenchLine,
    WrenchView,
)
from torqueaudit.model.wrench.wrench import Scale
from torqueaudit.reports.json.values import Object, digits, iso
from torqueaudit.workshop.wrenches.calibrations import WrenchLook
from torqueaudit.workshop.wrenches.corrections import WrenchChanged
from torqueaudit.workshop.wrenches.hours import LookTimed
from torqueaudit.workshop.wrenches.strikes import StruckOff


def wrench_json(view: WrenchView) -> Object:
    """Everything about one wrench."""
    return {
        "number": view.number,
        "tag": view.tag,
        "kind": view.kind,
        "state": view.state,
        "why": view.why,
        "owner": view.owner,
        "construction": view.construction,
        "iso_class": view.iso_class,
        "permissible_percent": digits(view.permissible_percent),
        "min_nm": digits(view.min_nm),
        "max_nm": digits(view.max_nm),
        "scales": [_scale(each) for each in view.scales],
        "lever_mm": digits(view.lever_mm),
        "lever_expanded_mm": digits(view.lever_expanded_mm),
        "direction": view.direction,
        "due_on": iso(view.due_on),
        "cycles": view.cycles,
        "cycles_allowed": view.cycles_allowed,
        "calibration": _calibration(view.calibration) if view.calibration else None,
        "history": [_event(each) for each in view.history],
        "uses": [_use(each) for each in view.uses],
        "doubtful": [_use(each) for each in view.doubtful],
        "not_known": [_use(each) for each in view.not_known],
        "put_right": [_use(each) for each in view.put_right],
        "demo": view.demo,
        "reach": view.reach,
        "direction_stated": view.direction_stated,
        "order_asked": [_asked(each) for each in view.order_asked],
        "overload": _overload(view.overload),
        "drift": [_drift(each) for each in view.drift],
        "interval": _interval(view.interval) if view.interval else None,
    }


def wrench_line_json(line: WrenchLine) -> Object:
    """A wrench in the list of all."""
    return {
        "number": line.number,
        "tag": line.tag,
        "kind": line.kind,
        "state": line.state,
        "why": line.why,
        "reach": line.reach,
        "min_nm": digits(line.min_nm),
        "max_nm": digits(line.max_nm),
        "due_on": iso(line.due_on),
        "overload": _overload(line.overload),
    }


def look_json(look: WrenchLook) -> Object:
    """What a calibration or an interim check makes of a wrench."""
    return {
        "wrench": look.wrench,
        "on": iso(look.on),
        "passed": look.passed,
        "due_on": iso(look.due_on),
        "withdrawn": look.withdrawn,
        "found_out": look.found_out,
        "doubtful": [_use(each) for each in look.doubtful],
        "not_known": [_use(each) for each in look.not_known],
        "remarks": list(look.remarks),
        "order_asked": [_asked(each) for each in look.order_asked],
    }


def wrench_changed_json(changed: WrenchChanged) -> Object:
    """What was put right of a wrench, and what it did before, judged anew where that rests on it."""
    return {
        "wrench": changed.wrench,
        "entry": changed.entry,
        "says": changed.says,
        "uses": [_use(each) for each in changed.uses],
    }


def struck_json(struck: StruckOff) -> Object:
    """What a strike took away from a wrench."""
    return {
        "wrench": struck.wrench,
        "entry": struck.entry,
        "what": struck.what,
        "withdrawn": struck.withdrawn,
    }


def look_timed_json(timed: LookTimed) -> Object:
    """The hour told of a look at a wrench, and what is asked still."""
    return {
        "wrench": timed.wrench,
        "entry": timed.entry,
        "what": timed.what,
        "hour": timed.hour,
        "withdrawn": timed.withdrawn,
        "order_asked": [_asked(each) for each in timed.order_asked],
    }


def _asked(asked: OrderAsked) -> Object:
    return {"entries": list(asked.entries), "out": asked.out, "says": asked.says}


def _overload(view: OverloadView | None) -> Object | None:
    if view is None:
        return None
    return {
        "job": view.job,
        "position": view.position,
        "on": iso(view.on),
        "entry": view.entry,
        "shown": view.shown,
        "shown_nm": digits(view.shown_nm),
        "says": view.says,
    }


def _drift(view: DriftView) -> Object:
    return {
        "at": view.at,
        "shown_nm": digits(view.shown_nm),
        "left_on": iso(view.left_on),
        "found_on": iso(view.found_on),
        "moved_percent": digits(view.moved_percent),
        "expanded_percent": digits(view.expanded_percent),
        "normalised": digits(view.normalised),
    }


def _interval(view: IntervalView) -> Object:
    return {"months": view.months, "proposed": view.proposed, "says": view.says}


def _scale(scale: Scale) -> Object:
    return {"unit": scale.unit, "division": digits(scale.division), "unit_nm": digits(scale.unit_nm)}


def _calibration(view: CalibrationView) -> Object:
    return {
        "entry": view.entry,
        "on": iso(view.on),
        "due_on": iso(view.due_on),
        "certificate": view.certificate,
        "laboratory": view.laboratory,
        "decision_rule": view.decision_rule,
        "as_found": [_point(each) for each in view.as_found],
        "as_left": [_point(each) for each in view.as_left],
        "adapter": view.adapter,
        "paper": view.paper,
        "hour": view.hour,
        "direction": view.direction,
        "reference": view.reference,
        "temperature_c": digits(view.temperature_c),
        "technician": view.technician,
    }


def _point(view: PointView) -> Object:
    return {
        "at": view.at,
        "unit": view.unit,
        "references": [digits(each) for each in view.references],
        "shown_nm": digits(view.shown_nm),
        "references_nm": [digits(each) for each in view.references_nm],
        "deviation_percent": digits(view.deviation_percent),
        "worst_percent": digits(view.worst_percent),
        "expanded_percent": digits(view.expanded_percent),
        "interval_percent": digits(view.interval_percent),
        "outside": view.outside,
    }


def _event(view: HistoryView) -> Object:
    return {"entry": view.entry, "on": iso(view.on), "what": view.what, "says": view.says}


def _use(view: UseView) -> Object:
    return {
        "job": view.job,
        "vehicle": view.vehicle,
        "position": view.position,
        "on": iso(view.on),
        "entry": view.entry,
        "doubt": view.doubt,
        "inside": view.inside,
        "known": view.known,
        "verdict": view.verdict,
        "applied_nm": digits(view.applied_nm),
        "expanded_nm": digits(view.expanded_nm),
        "final_nm": digits(view.final_nm),
        "final_expanded_nm": digits(view.final_expanded_nm),
    }
