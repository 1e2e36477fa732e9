"""Torque units as exact numbers of newton metres, and the reading of what people write."""

import re
from collections.abc import Iterable
from decimal import Context, Decimal
from fractions import Fraction
from typing import NamedTuple

from torqueaudit.model.numbers import NUMBER, clear_text, one_line, quoted, read_decimal, require_digits

PRECISION = 28  # significant digits of a computed value
MOST_NM = 1000  # nothing on a motorcycle takes so much, so more is no thousand that was meant; ours, no source

# A point may end an abbreviation ("in.-lb."); apart from that, one separator stands between two parts of a unit.
# Signs that look like others are written by number: 00d7 is the multiplication sign, 2212 the minus sign.
_SEPARATOR = r"(?:\.? ?[·*\u00d7⋅-] ?|\. ?| )"
_UNIT = re.compile(rf"[^\W\d_]+(?:{_SEPARATOR}[^\W\d_]+)*\.?")
_NO_SEPARATORS = str.maketrans("", "", "·*\u00d7⋅. -")
_FORCES = frozenset({"n", "mn", "cn", "dn", "dan", "kn", "lb", "lbs", "lbf", "kg", "kgf", "kp", "g", "gf", "oz", "ozf"})


class TorqueUnit(NamedTuple):
    """One unit a torque may be written in: its symbol, its exact size, and what people write for it.

    Case and separators need no spelling of their own: "kgf·m" is also read as "kgf-m", "KGF*M" or "kgfm".
    """

    symbol: str
    newton_metres: Fraction
    spellings: tuple[str, ...] = ()


NEWTON_METRE = TorqueUnit("N·m", Fraction(1), ("newton metre", "newton metres", "newton meter", "newton meters"))


class Torque(NamedTuple):
    """A torque as it was written or worked out: a finite value above zero, and its unit."""

    value: Decimal
    unit: TorqueUnit

    @property
    def nm(self) -> Decimal:
        """The torque in N·m: exact where 28 significant digits hold it, otherwise rounded once to 28."""
        return to_decimal(Fraction(self.value) * self.unit.newton_metres)

    def number(self, digits: int) -> str:
        """Its number with at most so many significant digits, as `UnitTable.parse` reads it back without a question."""
        return clear_text(format_number(self.value, digits), most_in(self.unit))

    def convert(self, unit: TorqueUnit) -> "Torque":
        """The same torque in another unit, rounded once to 28 significant digits."""
        return Torque(to_decimal(Fraction(self.value) * self.unit.newton_metres / unit.newton_metres), unit)


class UnitTable:
    """The units torques are read in, and no others: N·m too is known only where it is among `units`.

    Raises ValueError, with a sentence, for a spelling that another unit has, one that is a force or a mass alone or no
    unit at all, and for a size that is not above zero.
    """

    __slots__ = ("_by_spelling", "units")

    def __init__(self, units: Iterable[TorqueUnit]) -> None:
        self.units = tuple(units)
        self._by_spelling: dict[str, TorqueUnit] = {}
        for unit in self.units:
            self._enter(unit)

    def _enter(self, unit: TorqueUnit) -> None:
        if unit.newton_metres <= 0:
            raise ValueError(f"torque unit {unit.symbol}: its size must be above zero, not {unit.newton_metres}")
        keys = {_key(spelling): spelling for spelling in (unit.symbol, *unit.spellings)}
        for key, spelling in keys.items():
            if key is None or key in _FORCES:
                raise ValueError(f"torque unit {unit.symbol}: {quoted(spelling)} cannot stand for a torque unit")
            if key in self._by_spelling:
                taken = self._by_spelling[key].symbol
                raise ValueError(f"torque unit {unit.symbol}: {quoted(spelling)} is already a spelling of {taken}")
            self._by_spelling[key] = unit

    def unit(self, text: str) -> TorqueUnit:
        """The unit that `text` spells. Raises ValueError with a sentence that lists the known units."""
        key = _key(text)
        if key in self._by_spelling:
            return self._by_spelling[key]
        if key in _FORCES:
            why = "says how heavy or how strong, not at which lever, so it is no torque"
        else:
            why = "is not a torque unit known here"
        raise ValueError(f"{quoted(text)} {why}; known are {self._known()}")

    def parse(self, text: str, most_nm: Decimal | int = MOST_NM) -> Torque:
        """Read one torque as people write it: "80 lbf·ft", "108,5 Nm", "11 kgf-m", "25N·m".

        `most_nm` is the largest torque that makes sense here, so that "1.000" is asked back where 1000 does. Raises
        ValueError with a sentence for anything that is not one number above zero and one known unit.
        """
        written = one_line(text)
        require_digits(written, "the torque")
        number = re.match(NUMBER, written)
        if number is None:
            raise ValueError(f"{quoted(text)} does not begin with a number; write a torque like 25 N·m or 108,5 N·m")
        spelling = written[number.end() :].strip()
        if not spelling:
            raise ValueError(f"{quoted(text)} has no unit; known are {self._known()}")
        if re.search(r"[0-9+±°()/]", spelling):
            raise ValueError(f"{quoted(text)} is more than one number and one unit; write a torque like 25 N·m")
        unit = self.unit(spelling)
        value = read_decimal(number.group(), "the torque", most_in(unit, most_nm))
        if value <= 0:
            raise ValueError(f"{quoted(text)} must be above zero to be a torque")
        return Torque(value, unit)

    def _known(self) -> str:
        return ", ".join(unit.symbol for unit in self.units)


def most_in(unit: TorqueUnit, most_nm: Decimal | int = MOST_NM) -> Fraction:
    """The largest torque that makes sense, in a unit."""
    return Fraction(most_nm) / unit.newton_metres


def to_decimal(number: Fraction, digits: int = PRECISION) -> Decimal:
    """`number` with at most `digits` significant digits, rounded once, half to even (ISO 80000-1 annex B, rule A)."""
    return Context(prec=digits).divide(Decimal(number.numerator), Decimal(number.denominator))


def format_number(number: Fraction | Decimal, digits: int) -> str:
    """`number` with at most `digits` significant digits, without exponent and without zeros at the end."""
    text = f"{to_decimal(Fraction(number), digits):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _key(text: str) -> str | None:
    """What a unit is looked up by: letters only, case folded; None where `text` is not built like a unit."""
    written = " ".join(text.split())
    return written.translate(_NO_SEPARATORS).casefold() if _UNIT.fullmatch(written) else None
