"""Calibration points as a certificate prints them, read into N·m.

    100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; W′ 3.7 %; b_ep 0.1 %

The setting with its unit, the references in the same unit, then what the certificate states of the point.
"""

import re
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from torqueaudit.model.act import Refused
from torqueaudit.model.torque.units import Torque, UnitTable, read_decimal
from torqueaudit.model.wrench.words import percent_text, reach_text, scale_text
from torqueaudit.model.wrench.wrench import Point, Wrench

READINGS = 5  # at each point, ISO 6789-1:2017 (from memory)
SHARES = (Decimal("0.6"), Decimal(1))  # of the maximum, beside the lowest value: where it is calibrated (from memory)
NEAR = Decimal("0.05")  # how far off such a place, as a share of it, a point still counts
MOST_DEVIATION = Decimal("0.5")
MOST_PERCENT = 50
MOST_POINTS = 20
MOST_READINGS = 30
_WHAT = r"(?P<what>W['′’]?|b_ep)\s*=?\s*"  # noqa: RUF001  # as people type it
_STATED = re.compile(rf"{_WHAT}(?P<number>[^\s%]+)\s*%")
_NAMED = re.compile(rf"{_WHAT}[-+\d]")
_FIELDS = {"W": "expanded", "b_ep": "loading_point"}


def read_points(units: UnitTable, wrench: Wrench, texts: Sequence[str]) -> tuple[Point, ...]:
    """The points in their order. Raises Refused with one sentence for what cannot be a point of this wrench."""
    if len(texts) > MOST_POINTS:
        raise Refused(f"{len(texts)} points; give at most {MOST_POINTS}")
    points = [_point(units, text) for text in texts]
    for (before, point), text in zip(pairwise(points), texts[1:], strict=True):
        if point.shown_nm <= before.shown_nm:
            raise Refused(f"“{text}” does not lie above the point before it; give each point once, the lowest first")
    for point, text in zip(points, texts, strict=True):
        _require_in_range(wrench, point, text)
    return tuple(points)


def remarks_on(wrench: Wrench, points: Sequence[Point], *, places: bool = True) -> list[str]:
    """What a calibration by ISO 6789 would hold and these points do not; `places`: also at which settings."""
    few = [point.at for point in points if len(point.references_nm) < READINGS]
    says = (
        [f"fewer than {READINGS} readings at {', '.join(few)}; ISO 6789 takes {READINGS} at each point"] if few else []
    )
    if not places or wrench.min_nm is None or wrench.max_nm is None:
        return says
    wanted = (wrench.min_nm, *(share * wrench.max_nm for share in SHARES))
    missing = [scale_text(wrench, nm) for nm in wanted if not any(abs(p.shown_nm - nm) <= NEAR * nm for p in points)]
    if points and missing:
        says.append(
            f"no point at {', '.join(missing)}; ISO 6789 calibrates at the lowest value and at 60 % and 100 % of the "
            "maximum, and what lies outside the points is not proved"
        )
    return says


def _point(units: UnitTable, text: str) -> Point:
    first, *behind = (part.strip() for part in text.split(";"))
    setting, colon, readings = first.partition(":")
    if not colon:
        raise Refused(f"“{text}”: write a point as “100 N·m: 97.2 98.1 97.6 98.4 97.9”")
    try:
        shown = units.parse(setting)
        references = tuple(_reference(shown, each, text) for each in readings.split())
        stated = dict(_stated(part, text) for part in behind if part)
    except ValueError as error:
        raise Refused(f"“{text}”: {error}") from None
    if not references:
        raise Refused(f"“{text}”: no readings of the reference; write them behind the colon")
    if len(references) > MOST_READINGS:
        raise Refused(f"{len(references)} readings at {setting}; give at most {MOST_READINGS} at one point")
    unit_nm = shown._replace(value=Decimal(1)).nm
    point = Point(shown.nm, references, **stated, unit=shown.unit.symbol, unit_nm=unit_nm)
    worst = max(point.deviations, key=abs)
    if abs(worst) > MOST_DEVIATION:
        raise Refused(f"“{text}”: this makes a deviation of {percent_text(worst)}; is the unit right on both sides?")
    _require_uncertain(point, text)
    return point


def _require_uncertain(point: Point, text: str) -> None:
    """Refuse a certificate's figures that cannot be: no uncertainty at all, or a W′ without its own deviation in it."""
    if point.expanded == 0:
        raise Refused(f"“{text}”: no calibration is without uncertainty; read W again, or leave it out")
    if point.interval is not None and point.interval <= abs(point.deviation):
        raise Refused(
            f"“{text}”: W′ holds the mean deviation of its own readings, {percent_text(point.deviation)}, and must be "
            "more than that; read both again, or leave W′ out"
        )


def _reference(shown: Torque, text: str, whole: str) -> Decimal:
    value = read_decimal(text, "a reading")
    if value <= 0:
        raise Refused(f"“{whole}”: a reading of the reference is above zero, not {value:f}")
    return Torque(value, shown.unit).nm


def _stated(part: str, whole: str) -> tuple[str, Decimal]:
    found = _STATED.fullmatch(part)
    if not found and (named := _NAMED.match(part)):
        raise Refused(
            f"“{whole}”: {named['what']} is stated in %, not as “{part}”; write it like {named['what']} 1.4 %"
        )
    if not found:
        raise Refused(f"“{whole}”: “{part}” is not known; write W 1.4 %, W′ 3.7 % or b_ep 0.1 %")
    percent = read_decimal(found["number"], found["what"])
    if not 0 <= percent <= MOST_PERCENT:
        raise Refused(f"“{whole}”: {found['what']} lies between 0 and {MOST_PERCENT} %, not at {percent:f} %")
    return _FIELDS.get(found["what"], "interval"), percent / 100


def _require_in_range(wrench: Wrench, point: Point, text: str) -> None:
    lowest, highest = wrench.min_nm, wrench.max_nm
    if lowest is None or highest is None or lowest <= point.shown_nm <= highest:
        return
    raise Refused(f"“{text}” lies outside wrench {wrench.number}, which reaches {reach_text(wrench)}")
