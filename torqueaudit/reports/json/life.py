"""The life of a motorcycle as JSON: what stands on it, what was measured and fitted, and its line of time."""

from torqueaudit.model.shown.life import FastenerNow, LifeView, PartOn, Series, Stretch
from torqueaudit.reports.json.course import happening_json
from torqueaudit.reports.json.values import Object, digits, iso
from torqueaudit.reports.json.vehicle import vehicle_view_json


def life_json(view: LifeView) -> Object:
    """Everything about one motorcycle as `vehicle show` has it, its fasteners with what is open, and its life."""
    told = vehicle_view_json(view.vehicle)
    fasteners = zip(told["fasteners"], view.fasteners, strict=True)
    return {
        **told,
        "riding": view.vehicle.riding.value,
        "fasteners": [{**each, **_open(now)} for each, now in fasteners],
        "entry": view.entry,
        "stretches": [_stretch(each) for each in view.stretches],
        "measured": [_series(each) for each in view.series],
        "parts": [_part(each) for each in view.parts],
    }


def _open(now: FastenerNow) -> Object:
    return {"open": list(now.open)}


def _stretch(stretch: Stretch) -> Object:
    return {
        "here": stretch.here,
        "gone": stretch.gone,
        "since": iso(stretch.since),
        "until": iso(stretch.until),
        "read_first": stretch.read_first,
        "read_last": stretch.read_last,
        "ran": stretch.ran,
        "jobs": list(stretch.jobs),
        "course": [happening_json(each) for each in stretch.course],
    }


def _series(series: Series) -> Object:
    return {
        "key": series.key,
        "name": series.name,
        "unit": series.unit,
        "taken": [
            {
                "job": each.job,
                "entry": each.entry,
                "by": each.by,
                "when": iso(each.when),
                "value": digits(each.value),
                "says": each.says,
                "limits": each.limits,
                "verdict": each.verdict,
                "at": each.at,
                "late": each.late,
            }
            for each in series.taken
        ],
    }


def _part(part: PartOn) -> Object:
    return {
        "key": part.key,
        "name": part.name,
        "part": part.part,
        "lot": part.lot,
        "new": part.new,
        "attributes": dict(part.attributes),
        "job": part.job,
        "entry": part.entry,
        "since": iso(part.since),
        "at": part.at,
        "until": iso(part.until),
        "replaced_by": part.replaced_by,
        "ran": part.ran,
    }
