"""Distances as people write them, in metres and exact (one mile is 1609.344 m by definition)."""

import re
from decimal import Decimal

from torqueaudit.model.torque.decimals import leading_number

# A space between groups of three digits, narrow or not, as ISO 80000-1 writes large numbers. Not compiled here: every
# record says a distance, and few commands read one.
GROUPS = "(?<=[0-9])[ \u00a0\u202f](?=[0-9]{3}(?![0-9]))"
METRES = {
    "mm": Decimal("0.001"),
    "m": Decimal(1),
    "km": Decimal(1000),
    "mi": Decimal("1609.344"),
    "mile": Decimal("1609.344"),
    "miles": Decimal("1609.344"),
}


def length_m(text: str) -> Decimal:
    """The distance of a text such as "100 km", "12 000 km" or "62 mi" in metres.

    Raises ValueError, with a sentence, for anything else.
    """
    number, unit = leading_number(re.sub(GROUPS, "", text))
    if unit.casefold() not in METRES:
        raise ValueError(f'"{text}" is no distance: write a number and km, mi, m or mm')
    return number * METRES[unit.casefold()]


def distance_text(metres: int, unit: str = "km") -> str:
    """A distance in whole kilometres, or in whole units of another name of the table, such as miles."""
    return f"{metres / float(METRES[unit]):.0f} {unit}"
