"""A job as JSON: its record, and what an act on it answers."""

from collections.abc import Iterable

from torqueaudit.model.judged.finding import Finding, Remark
from torqueaudit.model.shown.job import FastenerView, FindingView, ItemView, JobView, RecheckView
from torqueaudit.reports.json.section import section_json
from torqueaudit.reports.json.values import Object, digits, iso


def job_json(view: JobView) -> Object:
    """Everything about one job."""
    return {
        "number": view.number,
        "site": view.site,
        "token": view.token,
        "vehicle": view.vehicle,
        "vehicle_tag": view.vehicle_tag,
        "title": view.title,
        "edition": view.edition,
        "digest": view.digest,
        "state": view.state,
        "demo": view.demo,
        "opened_on": iso(view.opened_on),
        "opened_by": view.opened_by,
        "opened_entry": view.opened_entry,
        "handed_over_on": iso(view.handed_over_on),
        "odometer_m": view.odometer_m,
        "released_by": view.released_by,
        "released_entry": view.released_entry,
        "hand_over_entry": view.hand_over_entry,
        "follows": view.follows,
        "followed_by": list(view.followed_by),
        "carried": list(view.carried),
        "put_right": list(view.put_right),
        "withdrawn": view.withdrawn,
        "fasteners": [_fastener(each) for each in view.fasteners],
        "items": [_item(each) for each in view.items],
        "findings": [_with_concession(each) for each in view.findings],
        "next": list(view.next),
        "next_commands": list(view.next_commands),
        "recheck_wanted": view.recheck_wanted,
        "recheck": _recheck(view.recheck) if view.recheck else None,
        "strikes": list(view.strikes),
        "panels": [section_json(each) for each in view.panels],
        "warnings": list(view.warnings),
        "head": view.head,
        "asked_at": iso(view.asked_at),
    }


def act_json(view: JobView, fresh: Iterable[Finding], stored: str) -> Object:
    """What an act on a job answers: how the job stands, what is new, and in words what was stored of an item."""
    answer: Object = {
        "job": view.number,
        "state": view.state,
        "findings": [_finding(each) for each in fresh],
        "stops": len(view.stops),
        "next": list(view.next),
        "next_commands": list(view.next_commands),
    }
    return {**answer, "stored": stored} if stored else answer


def remark_json(remark: Remark) -> Object:
    """What a rule says of a procedure's own values."""
    return {
        "rule": remark.rule,
        "weight": remark.weight.value,
        "subject": remark.subject,
        "says": remark.says,
    }


def _fastener(view: FastenerView) -> Object:
    return {
        "position": view.position,
        "name": view.name,
        "specified": view.specified,
        "source": view.source,
        "state": view.state,
        "applied": view.applied,
        "applied_nm": digits(view.applied_nm),
        "angle_deg": digits(view.angle_deg),
        "final_nm": digits(view.final_nm),
        "drag_nm": digits(view.drag_nm),
        "slot": view.slot,
        "beyond": view.beyond,
        "shown": view.shown,
        "wrench": view.wrench,
        "by": view.by,
        "when": iso(view.when),
        "outcome": view.outcome,
        "mark": view.mark,
        "mark_wanted": view.mark_wanted,
        "mark_seen_on": iso(view.mark_seen_on),
        "check_wanted": view.check_wanted,
        "checked_by": view.checked_by,
        "check_method": view.check_method,
        "undone": view.undone,
        "entry": view.entry,
        "expanded_nm": digits(view.expanded_nm),
        "verdict": view.verdict,
        "proof": view.proof,
        "budget": list(view.budget),
    }


def _item(view: ItemView) -> Object:
    return {
        "kind": view.kind,
        "key": view.key,
        "name": view.name,
        "said": view.said,
        "limits": view.limits,
        "by": view.by,
        "entry": view.entry,
    }


def _with_concession(view: FindingView) -> Object:
    return {"finding": _finding(view.finding), "concession": view.concession}


def _finding(finding: Finding) -> Object:
    return {
        "rule": finding.rule,
        "weight": finding.weight.value,
        "subject": finding.subject,
        "says": finding.says,
        "entry": finding.entry,
    }


def _recheck(view: RecheckView) -> Object:
    return {
        "due_on": iso(view.due_on),
        "due_distance_m": view.due_distance_m,
        "done_on": iso(view.done_on),
        "done_by": view.done_by,
        "late_days": view.late_days,
        "late_m": view.late_m,
        "looks": list(view.looks),
    }
