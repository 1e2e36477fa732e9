"""Saying "in" or "out" of a torque that is known with some uncertainty (JCGM 106:2012; ISO 14253-1; ILAC-G8:09/2019).

The guard band is w = r·U. With r = 0 a value inside the limits is accepted (simple acceptance, JCGM 106 8.2): one that
stands at a limit may as well lie outside. With r = 1 only what is inside at the ends of its uncertainty is accepted.

Values are held against their limits as exact rational numbers: 75 through an adapter of 100 on a lever of 300 is 100,
and in, while decimals would make it 99.99… and out.
"""

from collections.abc import Collection
from decimal import Decimal
from fractions import Fraction
from math import erfc, sqrt
from typing import NamedTuple

from torqueaudit.model.torque.specification import within

IN, IN_NOT_PROVED, OUT_NOT_PROVED, OUT = "in", "in, not proved", "out, not proved", "out"
NOT_JUDGED = "not judged"
SIMPLE = "simple acceptance"
_BAND, _OF_U = "guard band ", "·U"
_WORST_FIRST = (OUT, NOT_JUDGED, OUT_NOT_PROVED, IN_NOT_PROVED, IN)
PLACES = 7  # of a probability as it is stored


class Verdict(NamedTuple):
    """One of four words, the rule it was found by, and the probability that the torque lies inside its limits."""

    word: str
    rule: str
    probability: Decimal | None


def rule_text(guard_factor: Decimal) -> str:
    """A decision rule in words, as it is stored with each result."""
    return f"{_BAND}{guard_factor.normalize():f}{_OF_U}" if guard_factor else SIMPLE


def guard_factor_in(rule: str) -> Decimal:
    """The guard factor r of a decision rule as `rule_text` writes it."""
    return Decimal(0) if rule == SIMPLE else Decimal(rule.removeprefix(_BAND).removesuffix(_OF_U))


def worst_of(words: Collection[str]) -> str:
    """The verdict over several things that have to lie inside, by the verdict on each; there is at least one."""
    return next(word for word in _WORST_FIRST if word in words)


def verdict_of(
    nm: Decimal | Fraction,
    expanded_nm: Decimal | None,
    lower: Decimal | None,
    upper: Decimal | None,
    guard_factor: Decimal,
) -> Verdict:
    """Judge a torque against its limits; a missing limit does not limit, a missing uncertainty proves nothing."""
    rule = rule_text(guard_factor)
    inside = within(nm, lower, upper)
    if expanded_nm is None:
        return Verdict(IN_NOT_PROVED if inside else OUT_NOT_PROVED, rule, None)
    guard = Fraction(guard_factor) * Fraction(expanded_nm)
    probability = conformity(nm, expanded_nm, lower, upper)
    if inside:
        return Verdict(IN if _inside(nm, lower, upper, guard) else IN_NOT_PROVED, rule, probability)
    return Verdict(OUT_NOT_PROVED if _inside(nm, lower, upper, -guard) else OUT, rule, probability)


def word_as_read(number: Decimal, lower: Decimal | None, upper: Decimal | None, guard_factor: Decimal) -> str:
    """The word over a value of which nobody told how sure it is, such as an angle or a length.

    By simple acceptance it counts as it is read; behind a guard band it proves nothing. See decision 0021.
    """
    inside = within(number, lower, upper)
    if guard_factor:
        return IN_NOT_PROVED if inside else OUT_NOT_PROVED
    return IN if inside else OUT


def conformity(nm: Decimal | Fraction, expanded_nm: Decimal, lower: Decimal | None, upper: Decimal | None) -> Decimal:
    """The probability that the torque lies inside, p = Φ((T_U - y)/u) - Φ((T_L - y)/u) with U = 2u, to 7 places."""
    if not expanded_nm:
        return Decimal(int(within(nm, lower, upper)))
    u, value = Fraction(expanded_nm) / 2, Fraction(nm)
    above = 0.0 if upper is None else _upper_tail(float((Fraction(upper) - value) / u))
    below = 0.0 if lower is None else _upper_tail(float((value - Fraction(lower)) / u))
    return round(Decimal(max(1.0 - above - below, 0.0)), PLACES)


def provable(expanded_nm: Decimal, lower: Decimal | None, upper: Decimal | None, guard_factor: Decimal) -> bool:
    """Whether any value at all could be proved inside: with the guard band, and with w = U under simple acceptance."""
    return lower is None or upper is None or upper - lower >= 2 * (guard_factor or 1) * expanded_nm


def _inside(number: Decimal | Fraction, lower: Decimal | None, upper: Decimal | None, guard: Fraction) -> bool:
    exact = Fraction(number)
    return (lower is None or Fraction(lower) + guard <= exact) and (upper is None or exact <= Fraction(upper) - guard)


def _upper_tail(z: float) -> float:
    return erfc(z / sqrt(2)) / 2
