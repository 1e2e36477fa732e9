"""The nightly report, and what is to be decided today, as JSON."""

from collections.abc import Container

from torqueaudit.model.shown.night import Call, Line, Night, NightSeal, NightSection, Today
from torqueaudit.model.shown.rows import Row, folded
from torqueaudit.model.shown.trends import Trends
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
        "motorcycles": _motorcycles(night),
        "trends": _trends(night.trends),
        "extra": [section_json(each) for each in night.extra],
        "judged_in_full": iso(night.judged_in_full),
        "verified_in_full": iso(night.verified_in_full),
        "head": night.head,
        "seal": _seal(night.seal) if night.seal else None,
        "asked_at": iso(night.asked_at),
    }


def today_json(today: Today) -> Object:
    """What is to be decided now; `judged_in_full` is null where no night has judged everything."""
    return {
        "date": iso(today.date),
        "site": today.site,
        "demo": today.demo,
        "sections": [_section(each) for each in today.sections],
        "motorcycles": _motorcycles(today),
        "judged_in_full": iso(today.judged_in_full),
        "full_tonight": today.full_tonight,
        "asked_at": iso(today.asked_at),
    }


def _motorcycles(told: Night | Today) -> list[Object]:
    rows = (row for fold in folded(told.sections) for row in fold.rows)
    return [_motorcycle(row, told.unreached) for row in rows if row.vehicle]


def _trends(trends: Trends) -> Object:
    """Each month with a re-check due, as "2031-04", and how often which fastener's mark was found disturbed."""
    return {
        "months": [
            {
                "month": f"{each.month:%Y-%m}",
                "due": each.due,
                "in_time": each.in_time,
                "later": each.later,
                "not_done": each.not_done,
            }
            for each in trends.months
        ],
        "marks_disturbed": [{"fastener": each.fastener, "found": each.found} for each in trends.marks],
    }


def _seal(seal: NightSeal) -> Object:
    return {"note": seal.note, "size": seal.size, "key_id": seal.key_id, "sealed_at": iso(seal.sealed_at)}


def _section(section: NightSection) -> Object:
    return {"key": section.key, "title": section.title, "lines": [_line(each) for each in section.lines]}


def _motorcycle(row: Row, unreached: Container[str]) -> Object:
    """One of them with all that is told of it, the most urgent first, and whom to call.

    `reached` is whether anything is kept to reach the owner by, null where the owner is not called.
    """
    return {
        "vehicle": row.vehicle,
        "tag": row.tag,
        "calls": [str(call) for call in row.calls],
        "reached": row.vehicle not in unreached if Call.OWNER in row.calls else None,
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
        "minutes_late": line.minutes_late,
        "call": str(line.call),
    }
