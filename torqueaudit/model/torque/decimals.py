"""A number and what follows it, as people write them: "12.5 mm", "62 mi", "10 %"."""

import re
from decimal import Decimal
from fractions import Fraction

from torqueaudit.model.numbers import MOST_IN, read_decimal, require_digits
from torqueaudit.model.torque.units import to_decimal

_AMOUNT = r"(?s)(?P<number>[0-9]+(?:[.,][0-9]+)?)(?![0-9.,])\s*(?P<rest>.*)"  # not compiled here: few commands read one


def leading_number(text: str) -> tuple[Decimal, str]:
    """The number at the start of `text`, not negative, and what follows it ("mm", "%", "").

    Raises ValueError, with a sentence, where there is none or where it could be read in two ways ("1,000 km").
    """
    require_digits(text, "the number")
    match = re.fullmatch(_AMOUNT, text.strip())
    if not match:
        raise ValueError(f'"{text}" does not start with a number such as 12 or 12.5')
    return read_decimal(match["number"], "the number", MOST_IN.get(match["rest"])), match["rest"]


def decimal_text(number: Decimal) -> str:
    """The number without exponent and without zeros at the end, so that equal numbers are written alike."""
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def ratio_text(number: Decimal | Fraction) -> str:
    """A number without loss: as a decimal where one of 28 digits is it exactly, else as a ratio: "1.1", "4/3"."""
    exact = Fraction(number)
    decimal = to_decimal(exact)
    return f"{decimal:f}" if Fraction(decimal) == exact else str(exact)
