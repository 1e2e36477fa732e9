"""Calibration points as a certificate prints them, in N·m.

    100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; W′ 3.7 %; b_ep 0.1 %

The setting with its unit, the references in the same unit, then what the certificate states of the point.
"""

import re
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from torqueaudit.model.numbers import read_decimal
from torqueaudit.model.torque.units import MOST_NM, Torque, UnitTable
from torqueaudit.model.wrench.words import percent_text, reach_text
from torqueaudit.model.wrench.wrench import Point, Wrench

MOST_DEVIATION = Decimal("0.5")
MOST_OF_SETTING = 2  # a reading of a reference beyond so many times the setting is none
MOST_PERCENT = 50
MOST_POINTS = 20
MOST_READINGS = 30
_WHAT = r"(?P<what>W['′’]?|b_ep)\s*=?\s*"  # noqa: RUF001  # as people type it
_STATED = re.compile(rf"{_WHAT}(?P<number>[^\s%]+)\s*%")
_NAMED = re.compile(rf"{_WHAT}[-+0-9]")
_FIELDS = {"W": "expanded", "b_ep": "loading_point"}


def read_points(units: UnitTable, wrench: Wrench, texts: Sequence[str]) -> tuple[Point, ...]:
    """The points in their order. Raises ValueError with one sentence for what cannot be a point of this wrench."""
    if len(texts) > MOST_POINTS:
        raise ValueError(f"{len(texts)} points; give at most {MOST_POINTS}")
    points = [_point(units, wrench, text) for text in texts]
    for (before, point), text in zip(pairwise(points), texts[1:], strict=True):
        if point.shown_nm <= before.shown_nm:
            raise ValueError(f"“{text}” does not lie above the point before it; give each point once, the lowest first")
    for point, text in zip(points, texts, strict=True):
        _require_in_range(wrench, point, text)
    return tuple(points)


def _point(units: UnitTable, wrench: Wrench, text: str) -> Point:
    try:
        point = _stated_point(units, wrench, text)
    except ValueError as error:
        raise ValueError(f"“{text}”: {error}") from None
    if len(point.references_nm) > MOST_READINGS:
        setting = text.partition(":")[0].strip()
        raise ValueError(f"{len(point.references_nm)} readings at {setting}; give at most {MOST_READINGS} at one point")
    worst = max(point.deviations, key=abs)
    if abs(worst) > MOST_DEVIATION:
        raise ValueError(f"“{text}”: this makes a deviation of {percent_text(worst)}; is the unit right on both sides?")
    _require_uncertain(point, text)
    return point


def _stated_point(units: UnitTable, wrench: Wrench, text: str) -> Point:
    first, *behind = (part.strip() for part in text.split(";"))
    setting, colon, readings = first.partition(":")
    if not colon:
        raise ValueError("write a point as “100 N·m: 97.2 98.1 97.6 98.4 97.9”")
    shown = units.parse(setting, wrench.max_nm or MOST_NM)
    references = tuple(_reference(shown, each) for each in readings.split())
    if not references:
        raise ValueError("no readings of the reference; write them behind the colon")
    return Point(
        shown_nm=shown.nm,
        references_nm=references,
        **dict(_figure(part) for part in behind if part),
        unit=shown.unit.symbol,
        unit_nm=shown._replace(value=Decimal(1)).nm,
    )


def _require_uncertain(point: Point, text: str) -> None:
    """Refuse a certificate's figures that cannot be: no uncertainty at all, or a W′ without its own deviation in it."""
    if point.expanded == 0:
        raise ValueError(f"“{text}”: no calibration is without uncertainty; read W again, or leave it out")
    if point.interval is not None and point.interval <= abs(point.deviation):
        raise ValueError(
            f"“{text}”: W′ holds the mean deviation of its own readings, {percent_text(point.deviation)}, and must be "
            "more than that; read both again, or leave W′ out"
        )


def _reference(shown: Torque, text: str) -> Decimal:
    value = read_decimal(text, "a reading", MOST_OF_SETTING * shown.value)
    if value <= 0:
        raise ValueError(f"a reading of the reference is above zero, not {value:f}")
    return Torque(value, shown.unit).nm


def _figure(part: str) -> tuple[str, Decimal]:
    found = _STATED.fullmatch(part)
    if not found and (named := _NAMED.match(part)):
        raise ValueError(f"{named['what']} is stated in %, not as “{part}”; write it like {named['what']} 1.4 %")
    if not found:
        raise ValueError(f"“{part}” is not known; write W 1.4 %, W′ 3.7 % or b_ep 0.1 %")
    percent = read_decimal(found["number"], found["what"], MOST_PERCENT)
    if not 0 <= percent <= MOST_PERCENT:
        raise ValueError(f"{found['what']} lies between 0 and {MOST_PERCENT} %, not at {percent:f} %")
    return _FIELDS.get(found["what"], "interval"), percent / 100


def _require_in_range(wrench: Wrench, point: Point, text: str) -> None:
    lowest, highest = wrench.min_nm, wrench.max_nm
    if lowest is None or highest is None or lowest <= point.shown_nm <= highest:
        return
    raise ValueError(f"“{text}” lies outside wrench {wrench.number}, which reaches {reach_text(wrench)}")
