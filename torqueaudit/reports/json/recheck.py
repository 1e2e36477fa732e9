"""Re-checks as JSON: that of one job, and the list of those that are due."""

from torqueaudit.model.shown.due_list import DueRecheck
from torqueaudit.model.shown.recheck import ArrangedView, RecheckView
from torqueaudit.reports.json.values import Object, iso


def due_recheck_json(due: DueRecheck) -> Object:
    """A re-check in the list of those that are due."""
    return {
        "job": due.job,
        "vehicle": due.vehicle,
        "tag": due.tag,
        "title": due.title,
        "holds": due.holds,
        "says": due.says,
        **recheck_json(due.recheck),
    }


def recheck_json(view: RecheckView) -> Object:
    """The re-check of a job: when it is due, how it stands, and what was agreed."""
    return {
        "due_on": iso(view.due_on),
        "due_distance_m": view.due_distance_m,
        "due_min": view.due_min,
        "done_on": iso(view.done_on),
        "done_by": view.done_by,
        "state": view.standing.state.value,
        "late_days": view.standing.late_days,
        "late_m": view.standing.late_m,
        "late_min": view.standing.late_min,
        "estimated": view.standing.estimated,
        "looks": list(view.looks),
        "done_elsewhere": view.done_elsewhere,
        "asked": {"on": iso(view.asked.on), "half": view.asked.half.value} if view.asked else None,
        "arranged": _arranged(view.arranged) if view.arranged else None,
    }


def _arranged(view: ArrangedView) -> Object:
    """What was agreed about a re-check."""
    return {
        "what": view.what,
        "on": iso(view.on),
        "by": view.by,
        "entry": view.entry,
        "to_whom": view.to_whom,
        "why": view.why,
    }
