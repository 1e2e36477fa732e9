"""How JSON is written: a decimal as a string of its digits, a day or a moment by ISO 8601, and an object as a file."""

import json
from datetime import date
from decimal import Decimal
from typing import Any, TypeAlias

Object: TypeAlias = dict[str, Any]


def json_file(content: Object) -> bytes:
    """An object as a file; half a character, which no file can hold, is escaped as JSON does it."""
    return f"{json.dumps(content, ensure_ascii=False, indent=2)}\n".encode(errors="backslashreplace")


def digits(number: Decimal | None) -> str | None:
    """A decimal as it stands, without an exponent."""
    return None if number is None else format(number, "f")


def iso(moment: date | None) -> str | None:
    """A day, or a moment with its offset."""
    return None if moment is None else moment.isoformat()
