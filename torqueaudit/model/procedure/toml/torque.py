"""Specified torques in a procedure's TOML: a value and tolerance, a range or one limit, and an angle."""

import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from torqueaudit.model.procedure.toml.values import Table
from torqueaudit.model.procedure.words import FIELDS
from torqueaudit.model.torque.decimals import decimal_text, leading_number
from torqueaudit.model.torque.printed_torque import Ends, read_ends
from torqueaudit.model.torque.specification import TORQUE, TORQUE_AND_ANGLE, Printed, Specification
from torqueaudit.model.torque.units import Torque, UnitTable, to_decimal
from torqueaudit.model.torque.words import torque_text

WORKSHOP = "workshop"
EXCLUDED = "excluded"

_BOTH_WAYS = re.compile(r"(?:±|\+\s*/\s*[-−–])?\s*(?P<each>[^-+−–/]+)")
_EACH_WAY = re.compile(r"\+\s*(?P<plus>[^-+−–/]+?)\s*/\s*[-−–]\s*(?P<minus>[^-+−–/]+)")
_LARGEST_ANGLE = 720
_ANGLE = re.compile(r"(?P<degrees>.*[0-9])\s*(?:°|deg|degrees)")


class Limits(NamedTuple):
    """The limits of a torque in N·m, None where a side has none, and the tolerance they come from."""

    lower: Decimal | None
    upper: Decimal | None
    tolerance: str = ""
    own_tolerance: bool = False


class Angle(NamedTuple):
    """Degrees to turn after the torque, with their tolerance, and what the wrench may show at their end."""

    degrees: Decimal | None = None
    tolerance: Decimal | None = None
    final: Ends | None = None


def read_specification(table: Table, units: UnitTable, own_tolerance_percent: Decimal) -> Specification:
    """The specification in a `tighten` table; what cannot be read is noted on the table as a mistake."""
    written = table.text("torque", required=True)
    ends = table.read("torque", lambda text: read_ends(text, units)) or Ends(written, "")
    limits = _limits(table, ends, units, own_tolerance_percent) or Limits(None, None)
    method = table.choice("method", (TORQUE, TORQUE_AND_ANGLE), TORQUE)
    angle = _angle(table, method, units)
    specification = Specification(
        written=written,
        unit=ends.unit,
        lower_nm=limits.lower,
        upper_nm=limits.upper,
        source=table.text("source", required=True),
        page=table.text("page", required=True),
        nominal_nm=ends.value.nm if ends.value else None,
        tolerance=limits.tolerance,
        own_tolerance=limits.own_tolerance,
        method=method,
        angle=angle.degrees,
        angle_tolerance=angle.tolerance,
        final_written=angle.final.written if angle.final else "",
        final_lower_nm=_nm(angle.final and angle.final.lower),
        final_upper_nm=_nm(angle.final and angle.final.upper),
        drag_excluded=table.choice("prevailing_torque", ("included", EXCLUDED), "") == EXCLUDED,
        drag_min_nm=table.read("prevailing_torque_min", lambda text: units.parse(text).nm),
        also=tuple(_also(table, ends, limits, units)),
        half_digit_nm=ends.printed.half_digit_nm,
    )
    _look_at_threshold(table, specification)
    return specification


def _limits(table: Table, ends: Ends, units: UnitTable, own_tolerance_percent: Decimal) -> Limits | None:
    if ends.numbers and ends.value is None:
        if table.has("tolerance"):
            table.wrong("tolerance", f"does not go with {ends.form}, which says its limits already; leave it out")
        return Limits(_nm(ends.lower), _nm(ends.upper))
    tolerance = table.text("tolerance")
    if not tolerance and ends.value and not table.has("tolerance"):
        table.wrong("tolerance", f'is missing; write what the document prints, or "{WORKSHOP}" where it prints none')
    value = ends.value
    if value is None or not tolerance:
        return None
    own = tolerance == WORKSHOP
    as_used = f"{decimal_text(own_tolerance_percent)} %" if own else tolerance
    limits = table.read("tolerance", lambda _: value_limits(value, as_used, units))
    return limits._replace(own_tolerance=own) if limits else None


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
    return Limits(value.nm - below, value.nm + above, tolerance)


def _width(text: str, value: Torque, units: UnitTable) -> Decimal:
    """One side of a tolerance in N·m."""
    number, rest = leading_number(text)
    if rest == "%":
        return value.nm * number / 100
    unit = units.unit(rest) if rest else value.unit
    return to_decimal(Fraction(number) * unit.newton_metres)


def _nm(torque: Torque | None) -> Decimal | None:
    return torque.nm if torque else None


def _also(table: Table, governing: Ends, limits: Limits, units: UnitTable) -> Iterator[Printed]:
    for text in table.texts("also"):
        try:
            other = read_ends(text, units)
        except ValueError as error:
            table.wrong("also", str(error))
            continue
        sides = [(each.lower is None, each.upper is None) for each in (governing, other)]
        toleranced = governing.value and other.form == "a range" and limits.tolerance and not limits.own_tolerance
        if governing.numbers and sides[0] != sides[1] and not toleranced:
            says = f'"{text}" is {other.form} beside {governing.form}; write every printed value in the same form'
            table.wrong("also", says)
        else:
            yield other.printed


def _angle(table: Table, method: str, units: UnitTable) -> Angle:
    angle = table.read("angle", degrees)
    tolerance = None
    if table.text("angle_tolerance") == WORKSHOP:
        says = "is for torques only: a workshop has no angle tolerance of its own; leave it out, and no angle is judged"
        table.wrong("angle_tolerance", f'"{WORKSHOP}" {says}')
    else:
        tolerance = table.read("angle_tolerance", degrees)
    if method == TORQUE_AND_ANGLE and not table.has("angle"):
        says = f'is "{TORQUE_AND_ANGLE}", but no angle is given;'
        table.wrong("method", f'{says} write angle = "90°"', f"{says} see “{FIELDS['angle']}”")
    if method == TORQUE:
        for key in (key for key in ("angle", "final_torque") if table.has(key)):
            typed = f"needs “{TORQUE_AND_ANGLE}” as the {FIELDS['method']}"
            table.wrong(key, f'needs method = "{TORQUE_AND_ANGLE}"', typed)
    if tolerance and not table.has("angle"):
        table.wrong("angle_tolerance", "has no angle to belong to")
    elif angle and tolerance and tolerance >= angle:
        table.wrong("angle_tolerance", "is as wide as the angle itself or wider")
    return Angle(angle, tolerance, table.read("final_torque", lambda text: _window(text, units)))


def _window(text: str, units: UnitTable) -> Ends:
    ends = read_ends(text, units)
    if ends.value:
        raise ValueError(f'"{text}" is one value; write what is allowed at the end, like "60 … 110 N·m"')
    return ends


def _look_at_threshold(table: Table, specification: Specification) -> None:
    if specification.method != TORQUE_AND_ANGLE or not specification.limits_nm:
        return
    if len(specification.limits_nm) == 1:
        table.wrong("torque", "is a limit on one side; a torque that an angle starts from needs both limits")
        return
    start = specification.target_nm
    if any(end is not None and end < start for end in (specification.final_lower_nm, specification.final_upper_nm)):
        says = f"begins below {torque_text(start)}, from which the angle only adds; compare it with the source"
        table.wrong("final_torque", says)


def degrees(text: str) -> Decimal:
    """The angle of a text such as "90°" in degrees, above 0 and at most 720. Raises ValueError."""
    match = _ANGLE.fullmatch(text)
    number = leading_number(match["degrees"])[0] if match else Decimal(0)
    if not 0 < number <= _LARGEST_ANGLE:
        raise ValueError(f'"{text}" is no angle; write it in degrees, like "90°"')
    return number
