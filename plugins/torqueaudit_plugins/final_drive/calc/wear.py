"""Wear of a chain: how much longer it is than new, measured under tension at the worst of several places.

    wear % = (L - n·p)/(n·p)·100        n = pins - 1

So 19 pins span 18 pitches. The limit is the model's own, printed as a percentage or as a length over so many pins;
where none is stated, the chain is measured and not judged.
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from typing import NamedTuple

from torqueaudit.plugin import Verdict, format_number, leading_number, to_decimal, verdict_of
from torqueaudit_plugins.final_drive.calc.sprockets import MOST_LINKS, require_pitch

# Common practice, no source: a chain that reads outside was counted wrongly rather than worn.
LEAST_BELIEVED, MOST_BELIEVED = Decimal("-0.5"), Decimal(4)  # percent
ABSURD = 50  # percent
MOST_BARE = 10  # a limit without unit up to here is meant in percent; guessing would judge


class Span(NamedTuple):
    """A counted piece of chain: pins from the first to the last, both included, and the pitch in mm; by `span_of`."""

    pins: int
    pitch_mm: Decimal

    @property
    def pitches(self) -> int:
        """One fewer than the pins."""
        return self.pins - 1

    @property
    def nominal_mm(self) -> Decimal:
        """Its length when new, n·p."""
        return self.pitches * self.pitch_mm

    def wear_percent(self, length_mm: Decimal) -> Decimal:
        """How much longer than nominal a length is. Raises ValueError, with a sentence, for one that is none."""
        if not (length_mm.is_finite() and length_mm > 0):
            raise ValueError(f"a length of {length_mm} mm is none; measure it in mm, from the first pin to the last")
        wear = self.share_percent(length_mm - self.nominal_mm)
        if abs(wear) > ABSURD:
            raise ValueError(
                f"{length_mm} mm is no length of {self.pitches} pitches, which are {self.nominal_mm} mm when new; "
                "count the pins and measure again"
            )
        return wear

    def share_percent(self, length_mm: Decimal) -> Decimal:
        """A length as a percentage of the nominal one."""
        return to_decimal(Fraction(length_mm) * 100 / Fraction(self.nominal_mm))

    def caution(self, length_mm: Decimal) -> str | None:
        """A sentence where so much or so little wear is hardly true, else None."""
        wear = self.wear_percent(length_mm)
        if LEAST_BELIEVED <= wear <= MOST_BELIEVED:
            return None
        return (
            f"{format_number(wear, 3)} % is hardly true: count again. {self.pins} pins span {self.pitches} pitches, "
            f"and {format_number(length_mm, 6)} mm is {format_number(length_mm / self.pitch_mm, 4)} pitches long."
        )


def span_of(pins: int, pitch_mm: Decimal) -> Span:
    """A counted piece of chain. Raises ValueError, with a sentence, for fewer than two pins or too many."""
    if not 2 <= pins <= MOST_LINKS:  # noqa: PLR2004 -- two pins make one pitch
        raise ValueError(
            f"pins: {pins} is no number that spans a chain; count from the first to the last, both included, such as 21"
        )
    require_pitch(pitch_mm)
    return Span(pins, pitch_mm)


def read_limit(text: str, span: Span) -> Decimal:
    """The limit in percent, of a text such as "0.8 %" or of a printed length over the same pins, "288.0 mm".

    Without a unit it is a length. Raises ValueError, with a sentence, for anything else.
    """
    number, unit = leading_number(text)
    if unit == "%" and 0 < number <= ABSURD:
        return number
    if not unit and number <= MOST_BARE:
        raise ValueError(
            f'a limit of "{text[:20]}" does not say of what: write “{number} %”, or the printed length over '
            f"{span.pins} pins with its mm, above {format_number(span.nominal_mm, 7)}"
        )
    if unit not in {"", "mm"} or number <= span.nominal_mm:
        raise ValueError(
            f'a limit of "{text[:20]}" is none: write a percentage like 0.8 %, or the printed length over {span.pins} '
            f"pins in mm, which is above {span.nominal_mm}"
        )
    return span.share_percent(number - span.nominal_mm)


def worst(lengths_mm: Sequence[Decimal]) -> int:
    """Which of the measured lengths counts: the index of the longest."""
    return max(range(len(lengths_mm)), key=lengths_mm.__getitem__)


def judge(
    span: Span, length_mm: Decimal, limit_percent: Decimal, expanded_mm: Decimal | None, guard_factor: Decimal
) -> Verdict:
    """Judge the wear against its limit; `expanded_mm` is the length's uncertainty (k = 2), None where not stated."""
    expanded = None if expanded_mm is None else span.share_percent(expanded_mm)
    return verdict_of(span.wear_percent(length_mm), expanded, None, limit_percent, guard_factor)
