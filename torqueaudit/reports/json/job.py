"""A job as JSON: its record, and what an act on it answers."""

from collections.abc import Iterable, Sequence

from torqueaudit.model.judged.finding import Finding, Remark
from torqueaudit.model.shown.answer import AnswerView
from torqueaudit.model.shown.job import FastenerView, FindingView, ItemView, JobView, PhotoView
from torqueaudit.model.shown.passes import PassView
from torqueaudit.model.shown.tightenings import PassLine
from torqueaudit.model.torque.words import share_text
from torqueaudit.reports.json.passes import at_slot_json, logged_json, seat_json
from torqueaudit.reports.json.recheck import recheck_json
from torqueaudit.reports.json.section import section_json
from torqueaudit.reports.json.values import Object, digits, iso

# Of a fastener that stands without a pass.
NOTHING_APPLIED: Object = {
    "applied": "",
    "applied_nm": None,
    "corrected_nm": None,
    "corrected_expanded_nm": None,
    "not_known": False,
    "angle_deg": None,
    "final_nm": None,
    "drag_nm": None,
    "seat_nm": None,
    "seat_expanded_nm": None,
    "slot": "",
    "slot_nm": None,
    "slot_expanded_nm": None,
    "slot_below": None,
    "beyond": "",
    "shown": "",
    "wrench": "",
    "by": "",
    "when": None,
    "outcome": "",
}
NOTHING_JUDGED: Object = {"expanded_nm": None, "verdict": "", "proof": "", "budget": []}


def job_json(view: JobView, commands: Sequence[str]) -> Object:
    """Everything about one job; the `commands` say what to type for each thing that comes next."""
    told: Object = {}
    for key, value in record_json(view).items():
        told[key] = value
        if key == "next":
            told["next_commands"] = list(commands)
    return told


def record_json(view: JobView) -> Object:
    """Everything about one job, for whoever types no commands."""
    return {
        "number": view.number,
        "site": view.book.site,
        "token": view.token,
        "vehicle": view.vehicle,
        "vehicle_tag": view.vehicle_tag,
        "title": view.procedure.title,
        "edition": view.procedure.edition,
        "digest": view.procedure.digest,
        "only": list(view.procedure.only),
        "state": view.state,
        "demo": view.book.demo,
        **_course(view),
        "here": view.presence.here,
        "unsigned": [subject.text for subject in view.unsigned],
        **_followed(view),
        "withdrawn": view.withdrawn,
        "fasteners": [fastener_json(each) for each in view.fasteners],
        "items": [_item(each) for each in view.items],
        "findings": [_with_concession(each) for each in view.findings],
        "next": list(view.next),
        "recheck_wanted": view.recheck_wanted,
        "recheck": recheck_json(view.recheck) if view.recheck else None,
        "strikes": list(view.strikes),
        "panels": [section_json(each) for each in view.panels],
        "warnings": list(view.warnings),
        "head": view.book.head,
        "asked_at": iso(view.book.asked_at),
    }


def act_json(view: JobView, answer: AnswerView, fresh: Iterable[Finding], commands: Sequence[str]) -> Object:
    """What an act on a job answers: what it was understood as, how the job stands, what is new, what comes next."""
    told: Object = {
        "job": view.number,
        "state": view.state,
        "findings": [finding_json(each) for each in fresh],
        "stops": len(view.stops),
        "next": list(view.next),
        "next_commands": list(commands),
        "vehicle": view.vehicle,
        "vehicle_tag": view.vehicle_tag,
        "title": view.procedure.title,
        "arrived": answer.arrived,
        "understood": answer.says,
        "passes": [_pass(each) for each in answer.passes],
        "group": answer.group._asdict() if answer.group else None,
    }
    return {**told, "stored": answer.stored} if answer.stored else told


def remark_json(remark: Remark) -> Object:
    """What a rule says of a procedure's own values."""
    return {
        "rule": remark.rule,
        "weight": remark.weight.value,
        "subject": remark.subject,
        "says": remark.says,
    }


def _course(view: JobView) -> Object:
    """How the job went: opened, released, handed over. What was read is that of the hand-over, or of the opening."""
    release, left = view.release, view.hand_over
    return {
        "opened_on": iso(view.opening.on),
        "opened_by": view.opening.by,
        "opened_entry": view.opening.entry,
        "handed_over_on": iso(left.on) if left else None,
        "odometer_m": left.odometer_m if left else view.opening.odometer_m,
        "run_min": left.run_min if left else view.opening.run_min,
        "released_by": release.by if release else "",
        "released_entry": release.entry if release else None,
        "hand_over_entry": left.entry if left else None,
    }


def _followed(view: JobView) -> Object:
    follows = view.follows
    return {
        "follows": follows.job if follows else "",
        "followed_by": list(view.followed_by),
        "carried": list(follows.carried) if follows else [],
        "put_right": list(follows.put_right) if follows else [],
    }


def fastener_json(view: FastenerView) -> Object:
    """One fastener as it stands."""
    return {
        "position": view.position,
        "name": view.name,
        "specified": view.specification.says,
        "source": view.specification.source,
        "state": view.state,
        **(_applied(view.done) if view.done else NOTHING_APPLIED),
        "mark": view.mark.state,
        "mark_wanted": view.mark.wanted,
        "mark_seen_on": iso(view.mark.seen_on),
        "check_wanted": view.check.wanted,
        "checked_by": view.check.by,
        "check_method": view.check.method,
        "undone": view.undone,
        "overtaken_by": view.overtaken_by,
        "entry": view.entry,
        **(_judged(view.done) if view.done else NOTHING_JUDGED),
        "photos": [photo_json(each) for each in view.photos],
        "logged": [logged_json(each) for each in view.logged],
    }


def photo_json(view: PhotoView) -> Object:
    """A photo of the work."""
    return {
        "digest": view.digest,
        "entry": view.entry,
        "by": view.by,
        "when": iso(view.when),
        "why": view.why,
        "stands": view.stands,
        "erased": view.erased,
    }


def _pass(line: PassLine) -> Object:
    view = line.done
    return {
        "entry": view.entry,
        "position": line.position,
        "name": line.name,
        "outcome": view.outcome,
        "wrench": view.wrench,
        "shown": view.shown,
        "applied": view.applied,
        "applied_nm": digits(view.applied_nm),
        "expanded_nm": digits(view.expanded_nm),
        "verdict": view.judged.verdict,
    }


def _applied(view: PassView) -> Object:
    return {
        "applied": view.applied,
        "applied_nm": digits(view.applied_nm),
        "corrected_nm": digits(view.corrected_nm),
        "corrected_expanded_nm": digits(view.corrected_expanded_nm),
        "not_known": view.not_known,
        "angle_deg": digits(view.beyond.angle_deg),
        "final_nm": digits(view.beyond.final_nm),
        **seat_json(view),
        "slot": view.beyond.slot,
        **at_slot_json(view.beyond.at_slot),
        "beyond": view.beyond.says,
        "shown": view.shown,
        "wrench": view.wrench,
        "by": view.by,
        "when": iso(view.when),
        "outcome": view.outcome,
    }


def _judged(view: PassView) -> Object:
    return {
        "expanded_nm": digits(view.expanded_nm),
        "verdict": view.judged.verdict,
        "proof": view.proof,
        "budget": [share_text(line) for line in view.budget],
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
        "photos": [photo_json(each) for each in view.photos],
    }


def _with_concession(view: FindingView) -> Object:
    return {"finding": finding_json(view.finding), "concession": view.concession}


def finding_json(finding: Finding) -> Object:
    """What a rule says, in words."""
    return {
        "rule": finding.rule,
        "weight": finding.weight.value,
        "subject": finding.subject,
        "says": finding.says,
        "entry": finding.entry,
    }
