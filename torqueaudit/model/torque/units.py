"""Torque units as exact numbers of newton metres, and the reading of what people write."""

import re
from collections.abc import Iterable
from decimal import Context, Decimal
from fractions import Fraction
from typing import NamedTuple

PRECISION = 28  # significant digits of a computed value
LONGEST = 60  # characters of a torque as written
MOST_DIGITS = 20  # of a number as written: eight fewer than are kept, so there and back gives the written value

# A point may end an abbreviation ("in.-lb."); apart from that, one separator stands between two parts of a unit.
# Signs that look like others are written by number: 00d7 is the multiplication sign, 2212 the minus sign.
_SEPARATOR = r"(?:\.? ?[·*\u00d7⋅-] ?|\. ?| )"
_UNIT = re.compile(rf"[^\W\d_]+(?:{_SEPARATOR}[^\W\d_]+)*\.?")
_NO_SEPARATORS = str.maketrans("", "", "·*\u00d7⋅. -")
# Not compiled here: every command makes the table of units, and few read a number.
_NUMBER = r"[+\u2212-]?[0-9]+(?:[.,][0-9]+)?"
_THOUSANDS = r"[+\u2212-]?[1-9][0-9]{0,2},[0-9]{3}"
_FORCES = frozenset({"n", "mn", "kn", "lb", "lbs", "lbf", "kg", "kgf", "kp", "g", "gf", "oz", "ozf"})


class TorqueUnit(NamedTuple):
    """One unit a torque may be written in: its symbol, its exact size, and what people write for it.

    Case and separators need no spelling of their own: "kgf·m" is also read as "kgf-m", "KGF*M" or "kgfm".
    """

    symbol: str
    newton_metres: Fraction
    spellings: tuple[str, ...] = ()


NEWTON_METRE = TorqueUnit("N·m", Fraction(1))


class Torque(NamedTuple):
    """A torque as it was written or worked out: a finite value above zero, and its unit."""

    value: Decimal
    unit: TorqueUnit

    @property
    def nm(self) -> Decimal:
        """The torque in N·m: exact where 28 significant digits hold it, otherwise rounded once to 28."""
        return to_decimal(Fraction(self.value) * self.unit.newton_metres)

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
                raise ValueError(f"torque unit {unit.symbol}: {_quoted(spelling)} cannot stand for a torque unit")
            if key in self._by_spelling:
                taken = self._by_spelling[key].symbol
                raise ValueError(f"torque unit {unit.symbol}: {_quoted(spelling)} is already a spelling of {taken}")
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
        raise ValueError(f"{_quoted(text)} {why}; known are {self._known()}")

    def parse(self, text: str) -> Torque:
        """Read one torque as people write it: "80 lbf·ft", "108,5 Nm", "11 kgf-m", "25N·m".

        Raises ValueError with a sentence for anything that is not one number above zero and one known unit.
        """
        written = _one_line(text)
        number = re.match(_NUMBER, written)
        if number is None:
            raise ValueError(f"{_quoted(text)} does not begin with a number; write a torque like 25 N·m or 108,5 N·m")
        spelling = written[number.end() :].strip()
        if not spelling:
            raise ValueError(f"{_quoted(text)} has no unit; known are {self._known()}")
        if re.search(r"[0-9+±°()/]", spelling):
            raise ValueError(f"{_quoted(text)} is more than one number and one unit; write a torque like 25 N·m")
        unit = self.unit(spelling)
        value = read_decimal(number.group(), "the torque")
        if value <= 0:
            raise ValueError(f"{_quoted(text)} must be above zero to be a torque")
        return Torque(value, unit)

    def _known(self) -> str:
        return ", ".join(unit.symbol for unit in self.units)


def read_decimal(text: str, what: str) -> Decimal:
    """Read a plain number with comma or point as decimal sign, of at most 20 digits.

    Raises ValueError with a sentence that begins with `what`. NaN, infinity and powers of ten are no plain numbers;
    "1,000" is refused, since 1,000 kgf·cm on an axle nut is as likely as 1 kgf·cm elsewhere.
    """
    written = _one_line(text)
    if not re.fullmatch(_NUMBER, written):
        raise ValueError(f"{what}: {_quoted(text)} is not a plain number; write it like 25 or 108,5")
    if sum(sign.isdigit() for sign in written) > MOST_DIGITS:
        raise ValueError(f"{what}: {_quoted(text)} has more than {MOST_DIGITS} digits; write fewer")
    if re.fullmatch(_THOUSANDS, written):
        whole, point = written.replace(",", ""), written.replace(",", ".")
        raise ValueError(f"{what}: {_quoted(text)} may be thousands or decimals; write {whole} or {point} to say which")
    return Decimal(written.replace(",", ".").replace("\u2212", "-"))


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


def _one_line(text: str) -> str:
    if len(text) > LONGEST:
        raise ValueError(f"{_quoted(text)} is longer than {LONGEST} characters; write one number, and a unit if needed")
    return " ".join(text.split())


def _quoted(text: str) -> str:
    """`text` as it can stand in any sentence: short and printable, whatever was in it."""
    shown = "".join(sign if sign.isprintable() else "?" for sign in text[:LONGEST])
    return f'"{shown}…"' if len(text) > LONGEST else f'"{shown}"'
