"""Reading torques as documents print them: a value, a range, or a limit on one side."""

import re
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from torqueaudit.model.torque.specification import Printed
from torqueaudit.model.torque.units import Torque, UnitTable, to_decimal

_RANGE = re.compile(r"(?P<lower>.*?\S)\s*(?:…|\.{2,3}|–|—|\bto\b|(?<=[0-9])\s*-(?=\s*[0-9]))\s*(?P<upper>.+)")
_ONE_SIDE = re.compile(r"(?P<least>at least|≥)\s*(?P<lower>.+)|(?:at most|≤)\s*(?P<upper>.+)")
_PLAIN = re.compile(r"[0-9.,]+")


class Ends(NamedTuple):
    """A printed torque as read: `value`, or the limits; a side without a limit is None. `unit` is its last unit."""

    written: str
    unit: str
    value: Torque | None = None
    lower: Torque | None = None
    upper: Torque | None = None

    @property
    def numbers(self) -> tuple[Torque, ...]:
        """Every number it prints."""
        return tuple(number for number in (self.value, self.lower, self.upper) if number)

    @property
    def printed(self) -> Printed:
        """The same in N·m, with what its last digits are worth."""
        numbers = self.numbers
        return Printed(self.written, tuple(each.nm for each in numbers), tuple(_half_digit(each) for each in numbers))

    @property
    def form(self) -> str:
        """What it is, in words."""
        if self.value:
            return "one value"
        return "a range" if self.lower and self.upper else "a limit on one side"


def split_range(text: str) -> tuple[str, str] | None:
    """The two ends of "97 … 119 N·m" ("..", "–", "-" and "to" do as well), None where the text is no range."""
    match = _RANGE.fullmatch(text.strip())
    return (match["lower"], match["upper"].strip()) if match else None


def read_ends(text: str, units: UnitTable) -> Ends:
    """What "108 N·m", "97 … 119 N·m", "at least 90 N·m" or "at most 12 N·m" says.

    The first end of a range may leave its unit to the second. Raises ValueError.
    """
    one_side, ends = _ONE_SIDE.fullmatch(text), split_range(text)
    if one_side:
        limit = units.parse(one_side["lower"] or one_side["upper"])
        lower, upper = (limit, None) if one_side["least"] else (None, limit)
        return Ends(written=text, unit=limit.unit.symbol, value=None, lower=lower, upper=upper)
    if not ends:
        value = units.parse(text)
        return Ends(text, value.unit.symbol, value)
    to = units.parse(ends[1])
    start = units.parse(f"{ends[0]} {to.unit.symbol}" if _PLAIN.fullmatch(ends[0]) else ends[0])
    if start.nm >= to.nm:
        raise ValueError(f"the lower limit {ends[0]} is not below the upper limit {ends[1]}")
    return Ends(written=text, unit=to.unit.symbol, value=None, lower=start, upper=to)


def _half_digit(torque: Torque) -> Decimal:
    exponent = torque.value.as_tuple().exponent
    half = Fraction(10) ** int(exponent) / 2
    return to_decimal(half * torque.unit.newton_metres)
