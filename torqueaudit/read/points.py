"""Calibration points as a certificate prints them, in N·m.

    100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; W′ 3.7 %; b_ep 0.1 %

The setting with its unit, the references in the same unit, then what the certificate states of the point.
"""

import re
from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise

from torqueaudit.model.numbers import read_decimal
from torqueaudit.model.torque.units import MOST_NM, Torque, UnitTable, format_number
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.words import percent_text, reach_text
from torqueaudit.model.wrench.wrench import Wrench

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


def read_share(text: str) -> Decimal:
    """An uncertainty in percent, "0.5 %", as a fraction. Raises ValueError."""
    percent = read_decimal(text.strip().removesuffix("%").rstrip(), "an uncertainty in %", MOST_PERCENT)
    if not 0 < percent <= MOST_PERCENT:
        raise ValueError(f"{text}: an uncertainty is above 0 and at most {MOST_PERCENT} %")
    return percent / 100


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
    """Refuse a certificate's figures that cannot be: no uncertainty at all, or a W′ without its own deviation in it.

    Where W is stated, all of them are held against each other, as far as they are printed.
    """
    if point.expanded == 0:
        raise ValueError(f"“{text}”: no calibration is without uncertainty; read W again, or leave it out")
    if point.interval is not None and point.expanded is None and point.interval <= abs(point.deviation):
        raise ValueError(
            f"“{text}”: W′ holds the mean deviation of its own readings, {percent_text(point.deviation)}, and must be "
            "more than that; read both again, or leave W′ out"
        )
    _require_agreeing(point, text)


def _require_agreeing(point: Point, text: str) -> None:
    """Refuse figures that contradict each other: W′ = |a| + W + |b_ep| (ISO 6789-2:2017, from memory).

    Each may be off by half a unit of its last printed digit, the readings too. Where no b_ep is stated W′ may hold one,
    so it may be larger, and never smaller.
    """
    if point.interval is None or point.expanded is None:
        return
    least = abs(point.deviation) + point.expanded + (point.loading_point or Decimal(0))
    over, slack = point.interval - least, _slack(point, text)
    if -slack <= over and (over <= slack or point.loading_point is None):
        return
    stated = "" if point.loading_point is None else f" and b_ep {_percent(point.loading_point)}"
    more = " at least" if point.loading_point is None else ""
    raise ValueError(
        f"“{text}”: these readings make a deviation of {percent_text(point.deviation)}, which with W "
        f"{_percent(point.expanded)}{stated} makes a W′ of {format_number(least * 100, 4)} %{more}, not "
        f"{_percent(point.interval)}; read the certificate again, or leave out what it does not state"
    )


def _slack(point: Point, text: str) -> Decimal:
    """How far W′ may lie from what makes it, as each figure and each reading of a point is rounded as it is printed."""
    readings, *behind = text.partition(":")[2].split(";")
    stated = sum((_half(found["number"]) for part in behind if (found := _STATED.fullmatch(part.strip()))), Decimal(0))
    rounded = [
        (_half(read) * point.unit_nm, nm) for read, nm in zip(readings.split(), point.references_nm, strict=True)
    ]
    # a = X_a/X_r - 1, so a reading that is off by h makes it off by h·X_a/(X_r·(X_r - h)) at the most.
    of_readings = sum((half * point.shown_nm / (nm * (nm - half)) for half, nm in rounded), Decimal(0))
    return stated / 100 + of_readings / len(rounded)


def _half(number: str) -> Decimal:
    """Half a unit of the last digit of a number as it is printed: 0.05 of "1.4"."""
    behind = re.split("[.,]", number)[1:]
    return Decimal(5).scaleb(-1 - (len(behind[0]) if behind else 0))


def _percent(share: Decimal) -> str:
    return f"{format_number(share * 100, 4)} %"


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
