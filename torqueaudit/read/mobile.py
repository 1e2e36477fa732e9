"""A telephone number that takes short messages, as somebody writes it down."""

import re

_MARKS = re.compile(r"[\s()./-]")


def read_mobile(text: str) -> str:
    """A number such as +43 660 1234567, as ITU-T E.164 writes it. Raises ValueError with a sentence without it."""
    number = _MARKS.sub("", text.strip())
    if not re.fullmatch(r"\+[1-9][0-9]{6,14}", number):
        raise ValueError("this is no number that takes short messages; write it with its country: +43 660 1234567")
    return number
