"""A number and what follows it, as people write them: "12.5 mm", "62 mi", "10 %"."""

import re
from decimal import Decimal
from fractions import Fraction

from torqueaudit.model.numbers import MOST_IN, read_decimal, require_digits
from torqueaudit.model.torque.units import format_number, to_decimal

MOST_FURTHER = 15  # digits; what differs later still differs by nothing anyone measures
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


def told_beside(number: Decimal, digits: int, *limits: Decimal | None) -> str:
    """A number to some significant digits, and to more where it would not read as on its side of a limit beside it.

    Whether that limit is said exactly, or to as many digits.
    """
    told = [limit for limit in limits if limit is not None]
    for more in range(MOST_FURTHER):
        text = format_number(number, digits + more)
        said = Decimal(text)
        beside = ((limit, each) for limit in told for each in (limit, Decimal(format_number(limit, digits + more))))
        if all(number.compare(limit) == said.compare(each) for limit, each in beside):
            return text
    return format_number(number, digits)
