"""How single values are written in JSON: a decimal as a string of its digits, a day or a moment by ISO 8601."""

from datetime import date
from decimal import Decimal
from typing import Any, TypeAlias

Object: TypeAlias = dict[str, Any]


def digits(number: Decimal | None) -> str | None:
    """A decimal as it stands, without an exponent."""
    return None if number is None else format(number, "f")


def iso(moment: date | None) -> str | None:
    """A day, or a moment with its offset."""
    return None if moment is None else moment.isoformat()
