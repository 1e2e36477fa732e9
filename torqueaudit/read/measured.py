"""A number with its uncertainty, as people write them: "500 ± 2", "50+/-0.5"; U with k = 2 everywhere."""

from decimal import Decimal
from typing import NamedTuple


class Measured(NamedTuple):
    """A value and its expanded uncertainty U (k = 2) in the value's unit; None where none was told."""

    value: Decimal
    expanded: Decimal | None = None


def split_uncertainty(text: str) -> tuple[str, str, str]:
    """What stands before and behind the ±, and the sign itself; the last two are "" where there is none."""
    value, sign, spread = text.replace("+/-", "±").partition("±")
    return value.strip(), sign, spread.strip()
