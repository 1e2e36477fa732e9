"""Specified torques as documents print them: a value with its tolerance, or a range."""

import re
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from torqueaudit.model.decimals import leading_number
from torqueaudit.model.procedure import TORQUE, TORQUE_AND_ANGLE, Specification, decimal_text
from torqueaudit.model.procedure_values import Table
from torqueaudit.model.units import Torque, UnitTable, to_decimal

WORKSHOP = "workshop"

_RANGE = re.compile(r"(?P<lower>.*?\S)\s*(?:…|\.{2,3}|–|—|\bto\b|(?<=\d)\s*-(?=\s*\d))\s*(?P<upper>.+)")
_PLAIN = re.compile(r"[\d.,]+")
_BOTH_WAYS = re.compile(r"(?:±|\+\s*/\s*[-−–])?\s*(?P<each>[^-+−–/]+)")
_EACH_WAY = re.compile(r"\+\s*(?P<plus>[^-+−–/]+?)\s*/\s*[-−–]\s*(?P<minus>[^-+−–/]+)")
_LARGEST_ANGLE = 720
_ANGLE = re.compile(r"(?P<degrees>.*\d)\s*(?:°|deg|degrees)")


class Limits(NamedTuple):
    """A torque in N·m as read; the nominal value is None for a range."""

    lower: Decimal
    upper: Decimal
    nominal: Decimal | None
    unit: str
    tolerance: str = ""
    own_tolerance: bool = False


_UNREAD = Limits(Decimal(0), Decimal(0), None, "")


def split_range(text: str) -> tuple[str, str] | None:
    """The two ends of "97 … 119 N·m" ("..", "–", "-" and "to" do as well), None where the text is no range."""
    match = _RANGE.fullmatch(text.strip())
    return (match["lower"], match["upper"].strip()) if match else None


def read_specification(table: Table, units: UnitTable, own_tolerance_percent: Decimal) -> Specification:
    """The specification in a `tighten` table; what cannot be read is noted on the table as a mistake."""
    written = table.text("torque", required=True)
    limits = _limits(table, written, units, own_tolerance_percent) or _UNREAD
    method = table.choice("method", (TORQUE, TORQUE_AND_ANGLE), TORQUE)
    angle, angle_tolerance = _angle(table, method)
    return Specification(
        written=written,
        unit=limits.unit,
        lower_nm=limits.lower,
        upper_nm=limits.upper,
        source=table.text("source", required=True),
        page=table.text("page", required=True),
        nominal_nm=limits.nominal,
        tolerance=limits.tolerance,
        own_tolerance=limits.own_tolerance,
        method=method,
        angle=angle,
        angle_tolerance=angle_tolerance,
        also=_also(table, units),
    )


def _limits(table: Table, written: str, units: UnitTable, own_tolerance_percent: Decimal) -> Limits | None:
    if split_range(written):
        if table.has("tolerance"):
            table.wrong("tolerance", "does not go with a range, which has its limits already; leave it out")
        return table.read("torque", lambda text: range_limits(text, units))
    nominal = table.read("torque", units.parse)
    tolerance = table.text("tolerance")
    if not tolerance and written and not table.has("tolerance"):
        table.wrong("tolerance", f'is missing; write what the document prints, or "{WORKSHOP}" where it prints none')
    if nominal is None or not tolerance:
        return None
    own = tolerance == WORKSHOP
    as_used = f"{decimal_text(own_tolerance_percent)} %" if own else tolerance
    limits = table.read("tolerance", lambda _: value_limits(nominal, as_used, units))
    return limits._replace(own_tolerance=own) if limits else None


def range_limits(text: str, units: UnitTable) -> Limits:
    """The limits of a printed range; the first end may leave its unit to the second. Raises ValueError."""
    ends = split_range(text)
    if not ends:
        raise ValueError(f'"{text}" is no range; write "97 … 119 N·m"')
    upper = units.parse(ends[1])
    lower = units.parse(f"{ends[0]} {upper.unit.symbol}" if _PLAIN.fullmatch(ends[0]) else ends[0])
    if lower.nm >= upper.nm:
        raise ValueError(f"the lower limit {ends[0]} is not below the upper limit {ends[1]}")
    return Limits(lower.nm, upper.nm, None, upper.unit.symbol)


def value_limits(value: Torque, tolerance: str, units: UnitTable) -> Limits:
    """The limits of `value` with a tolerance such as "10 %", "5 N·m" or "+10 N·m / -0 N·m". Raises ValueError."""
    each_way, both_ways = _EACH_WAY.fullmatch(tolerance), _BOTH_WAYS.fullmatch(tolerance)
    if each_way:
        plus, minus = each_way["plus"], each_way["minus"]
    elif both_ways:
        plus = minus = both_ways["each"]
    else:
        raise ValueError(f'"{tolerance}" is no tolerance; write "10 %", "5 N·m", "+10 N·m / -0 N·m" or "{WORKSHOP}"')
    below, above = (_width(text, value, units) for text in (minus, plus))
    if below >= value.nm:
        raise ValueError(f"the tolerance {tolerance} is as wide as the value itself or wider")
    if not below + above:
        raise ValueError(f"the tolerance {tolerance} leaves no room at all")
    return Limits(value.nm - below, value.nm + above, value.nm, value.unit.symbol, tolerance)


def _width(text: str, value: Torque, units: UnitTable) -> Decimal:
    """One side of a tolerance in N·m."""
    number, rest = leading_number(text)
    if rest == "%":
        return value.nm * number / 100
    unit = units.unit(rest) if rest else value.unit
    return to_decimal(Fraction(number) * unit.newton_metres)


def _also(table: Table, units: UnitTable) -> tuple[str, ...]:
    printed = table.texts("also")
    for text in printed:
        try:
            units.parse(text)
        except ValueError as error:
            table.wrong("also", str(error))
    return printed


def _angle(table: Table, method: str) -> tuple[Decimal | None, Decimal | None]:
    angle, tolerance = table.read("angle", degrees), table.read("angle_tolerance", degrees)
    if method == TORQUE_AND_ANGLE and not table.has("angle"):
        table.wrong("method", 'is "torque and angle", but no angle is given; write angle = "90°"')
    if method == TORQUE and table.has("angle"):
        table.wrong("angle", f'needs method = "{TORQUE_AND_ANGLE}"')
    if tolerance and not table.has("angle"):
        table.wrong("angle_tolerance", "has no angle to belong to")
    elif angle and tolerance and tolerance >= angle:
        table.wrong("angle_tolerance", "is as wide as the angle itself or wider")
    return angle, tolerance


def degrees(text: str) -> Decimal:
    """The angle of a text such as "90°" in degrees, above 0 and at most 720. Raises ValueError."""
    match = _ANGLE.fullmatch(text)
    number = leading_number(match["degrees"])[0] if match else Decimal(0)
    if not 0 < number <= _LARGEST_ANGLE:
        raise ValueError(f'"{text}" is no angle; write it in degrees, like "90°"')
    return number
