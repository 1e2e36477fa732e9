"""The nightly report as JSON."""

from torqueaudit.model.shown.night import Line, Night, NightSeal, NightSection
from torqueaudit.model.shown.rows import Row, folded
from torqueaudit.reports.json.section import section_json
from torqueaudit.reports.json.values import Object, iso


def night_json(night: Night) -> Object:
    """The report of one night; the same night gives the same object."""
    return {
        "date": iso(night.date),
        "site": night.site,
        "demo": night.demo,
        "exit_code": night.exit_code,
        "sections": [_section(each) for each in night.sections],
        "motorcycles": [_motorcycle(night, row) for each in folded(night.sections) for row in each.rows if row.vehicle],
        "extra": [section_json(each) for each in night.extra],
        "judged_in_full": iso(night.judged_in_full),
        "verified_in_full": iso(night.verified_in_full),
        "head": night.head,
        "seal": _seal(night.seal) if night.seal else None,
        "asked_at": iso(night.asked_at),
    }


def _seal(seal: NightSeal) -> Object:
    return {"note": seal.note, "size": seal.size, "key_id": seal.key_id, "sealed_at": iso(seal.sealed_at)}


def _section(section: NightSection) -> Object:
    return {"key": section.key, "title": section.title, "lines": [_line(each) for each in section.lines]}


def _motorcycle(night: Night, row: Row) -> Object:
    """One of them with all that is told of it, the most urgent first, and whom to call."""
    return {
        "vehicle": row.vehicle,
        "tag": row.tag,
        "calls": [str(call) for call in row.calls],
        "reached": row.vehicle not in night.unreached,
        "reasons": [{"section": each.key, **_said(each.line)} for each in row.reasons],
    }


def _line(line: Line) -> Object:
    return {"vehicle": line.vehicle, "tag": line.tag, **_said(line)}


def _said(line: Line) -> Object:
    return {
        "job": line.job,
        "title": line.title,
        "holds": line.holds,
        "says": line.in_words,
        "days_late": line.days_late,
        "metres_late": line.metres_late,
        "call": str(line.call),
    }
