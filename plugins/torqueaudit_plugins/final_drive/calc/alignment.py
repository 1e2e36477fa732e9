"""Skew of the rear wheel, from a length taken on the left and on the right.

    ε = atan((x_L - x_R)/W)

x_L and x_R are taken from the same end of the swinging arm to the axle, W is the distance between the two places.
Read from the front end (the pivot), the side that reads more stands further back; read from the rear end, further
forward.
"""

import re
from collections.abc import Callable
from decimal import Decimal
from enum import StrEnum
from math import atan, degrees, isfinite
from typing import NamedTuple

from torqueaudit.plugin import format_number

MOST_MM = 2000
MOST_MOVE_MM, MOST_MOVE_TURNS = 10, 2  # more is hardly true: measured wrongly rather than set so (common practice)
END = "end"  # the condition under which a procedure states it
_ENDS = {"front": r"front|pivot", "rear": r"rear|axle"}
_TO = re.compile(r"\b(?:to|up to|until)\s+(?:the\s+)?(?:axle|pivot)\b")


class End(StrEnum):
    """The end of the swinging arm that a length to the axle was taken from."""

    FRONT = "front"
    REAR = "rear"


class Skew(NamedTuple):
    """Left less right in mm, and the angle in degrees; above zero where the left reads more."""

    difference_mm: Decimal
    angle_deg: float

    @property
    def more(self) -> str:
        """The side that reads more, "left" or "right"; empty where both read the same."""
        return ("left" if self.difference_mm > 0 else "right") if self.difference_mm else ""

    @property
    def other(self) -> str:
        """The side that reads less; empty where both read the same."""
        return {"left": "right", "right": "left"}.get(self.more, "")


def skew(left_mm: Decimal, right_mm: Decimal, base_mm: Decimal) -> Skew:
    """The skew of an axle. Raises ValueError, with a sentence, for lengths that no swinging arm has."""
    for name, length in (("left", left_mm), ("right", right_mm)):
        if not (isfinite(length) and 0 <= length <= MOST_MM):
            raise ValueError(f"{name}: {length} mm is no length on a swinging arm; give it in mm, from 0 to {MOST_MM}")
    if not (isfinite(base_mm) and 0 < base_mm <= MOST_MM):
        raise ValueError(f"base: {base_mm} mm is no distance between left and right; give it in mm, above 0")
    difference = left_mm - right_mm
    return Skew(difference, degrees(atan(difference / base_mm)))


def one_end(left: End | None, right: End | None) -> End | None:
    """The end that both lengths were taken from, None where none is stated.

    Raises ValueError, with a sentence, where they differ or only one is stated.
    """
    if left is None and right is None:
        return None
    if left is None or right is None:
        raise ValueError("the end is stated for one side only; state the end each side was taken from")
    if left is not right:
        raise ValueError(
            f"left was taken from the {left} end and right from the {right} end: they cannot be compared; "
            "take both from the same end of the swinging arm"
        )
    return left


def way_of_more(end: End) -> str:
    """Which way the side that reads more has to move, "forward" or "back"; the other side the opposite way."""
    return "forward" if end is End.FRONT else "back"


def end_named(words: str) -> End | None:
    """The end that words name: "front", "pivot", "from the rear", "axle end"; None where they name none.

    "From the pivot to the axle" is from the pivot. Raises ValueError, with a sentence, where they name both.
    """
    said = _TO.sub("", words.casefold())
    named = [end for end in End if re.search(rf"\b(?:{_ENDS[end]})", said)]
    if len(named) > 1:
        raise ValueError(f"“{words}” names both ends of the swinging arm; say from which one it was taken")
    return named[0] if named else None


def same_end(name: str, asked: str, told: str) -> bool:
    """Whether a condition that was told otherwise than asked names the same end: "front" and "front, at the pivot"."""
    if name != END:
        return False
    return end_named(asked) is not None and end_named(asked) is end_named(told)


def is_far(move_mm: float, thread_pitch_mm: float | None) -> bool:
    """Whether a move is so long that it was measured wrongly rather than set so."""
    turned = thread_pitch_mm is not None and move_mm > MOST_MOVE_TURNS * thread_pitch_mm
    return turned or move_mm > MOST_MOVE_MM


def far_words(thread_pitch_mm: float | None) -> str:
    """What is hardly true: "a move of more than 2 turns of an adjuster"."""
    if thread_pitch_mm is None:
        return f"a move of more than {MOST_MOVE_MM} mm is hardly true"
    return f"a move of more than {MOST_MOVE_TURNS} turns of an adjuster is hardly true"


def move_words(found: Skew, end: End, turned: Callable[[float], str]) -> str:
    """Which sides move which way by how much, with the slack kept and with one side alone.

    `turned` says how far one adjuster is turned for a distance in mm, "" where nobody knows.
    """
    way = way_of_more(end)
    other = "back" if way == "forward" else "forward"
    whole, half = (abs(found.difference_mm) / part for part in (1, 2))
    both = f"move {found.more} {way} and {found.other} {other} by {_mm(half)} each{_in(turned(float(half)), ' each')}"
    return f"{both}, which keeps the slack; or {found.more} alone {way} by {_mm(whole)}{_in(turned(float(whole)))}"


def _mm(length_mm: Decimal) -> str:
    return f"{format_number(length_mm, 4)} mm"


def _in(turns: str, each: str = "") -> str:
    return f" ({turns}{each})" if turns else ""
