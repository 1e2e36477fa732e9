"""What was found by words as JSON."""

from typing import TYPE_CHECKING

from torqueaudit.reports.json.values import Object, iso

if TYPE_CHECKING:
    from torqueaudit.model.shown.found import Found, Hit, Why


def found_json(found: "Found") -> Object:
    """What was typed, and each thing found by it; `more` where not everything that may be meant is among it."""
    return {"typed": found.typed, "hits": [_hit_json(hit) for hit in found.hits], "more": found.more}


def _hit_json(hit: "Hit") -> Object:
    return {
        "noun": hit.noun,
        "number": hit.number,
        "title": hit.title,
        "vehicle": hit.vehicle,
        "on": iso(hit.on),
        "reasons": [_why_json(why) for why in hit.whys],
    }


def _why_json(why: "Why") -> Object:
    return {
        "field": why.field,
        "says": why.says,
        "on": iso(why.on),
        "entry": why.entry or None,
        "struck": why.struck,
        "personal": why.personal,
    }
