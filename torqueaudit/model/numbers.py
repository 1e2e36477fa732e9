"""Numbers as people write them, read in one place for every door.

Digits are 0 to 9. A separator before exactly three digits, "1.000" or "1,000", is asked back wherever a thousand of the
thing could be meant; each field says by `most` how much of it there can be. See decision 0080.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction

LONGEST = 60  # characters of a number as written, with its unit
# Of a number, without noughts before it: eight fewer than are kept, so there and back gives what was written.
MOST_DIGITS = 20
# How much of a unit is measured on a motorcycle at most; ours, no source. What is not here has no most.
MOST_IN: Mapping[str, int] = {"mm": 3000, "°": 720, "%": 100, "V": 1000, "bar": 100, "°C": 1000}

# Not compiled here: every command makes the table of units, and few read a number.
NUMBER = r"[+\u2212-]?[0-9]+(?:[.,][0-9]+)?"
_THOUSANDS = r"[+\u2212-]?[1-9][0-9]{0,2}[.][0-9]{3}"


def read_decimal(text: str, what: str, most: Decimal | Fraction | int | None = None) -> Decimal:
    """Read a plain number with comma or point as decimal sign, of at most 20 digits.

    `most` is the largest value that makes sense here, None where any does. Raises ValueError with a sentence that
    begins with `what`. NaN, infinity and powers of ten are no plain numbers, nor is what has other digits than 0 to 9.
    "1.000" and "1,000" are refused where 1000 makes sense: 1,000 kgf·cm on an axle nut is as likely as 1 kgf·cm
    elsewhere.
    """
    written = one_line(text)
    require_digits(written, what)
    if not re.fullmatch(NUMBER, written):
        raise ValueError(f"{what}: {quoted(text)} is not a plain number; write it like 25 or 108,5")
    if len(re.sub("[^0-9]", "", written).lstrip("0")) > MOST_DIGITS:
        raise ValueError(f"{what}: {quoted(text)} has more than {MOST_DIGITS} digits; write fewer")
    plain = written.replace(",", ".").replace("\u2212", "-")
    clear = clear_text(plain, most)
    if clear != plain:
        either = f"{plain.replace('.', '')} or {clear}"
        raise ValueError(f"{what}: {quoted(text)} may be thousands or decimals; write {either} to say which")
    return Decimal(plain)


def require_digits(text: str, what: str) -> None:
    """Raise ValueError, with a sentence that begins with `what`, for a number in other digits than 0 to 9."""
    if (meant := in_digits(text)) != text:
        raise ValueError(f"{what}: {quoted(text)} is not written in the digits 0 to 9; write {quoted(meant)}")


def in_digits(text: str) -> str:
    """A text with every decimal digit of another script, and every wide one, as 0 to 9."""
    if text.isascii():
        return text
    return "".join(str(int(sign)) if sign.isdecimal() else sign for sign in text)


def clear_text(number: str, most: Decimal | Fraction | int | None = None) -> str:
    """A number with a point, written so that nobody reads a thousand: "1.25" for "1.250", "1.2340" for "1.234".

    `most` is the largest value that makes sense there, None where any does; a thousand beyond it is read by nobody.
    """
    if not re.fullmatch(_THOUSANDS, number) or (most is not None and abs(int(number.replace(".", ""))) > most):
        return number
    return f"{number}0" if number[-1] != "0" else number.rstrip("0").rstrip(".")


def one_line(text: str) -> str:
    """A text with each run of white space as one space. Raises ValueError for one that is too long for a number."""
    if len(text) > LONGEST:
        raise ValueError(f"{quoted(text)} is longer than {LONGEST} characters; write one number, and a unit if needed")
    return " ".join(text.split())


def quoted(text: str) -> str:
    """`text` as it can stand in any sentence: short and printable, whatever was in it."""
    shown = "".join(sign if sign.isprintable() else "?" for sign in text[:LONGEST])
    return f'"{shown}…"' if len(text) > LONGEST else f'"{shown}"'
