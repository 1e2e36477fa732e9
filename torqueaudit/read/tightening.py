"""What a mechanic says of one pass, read: torques, the angle after one, what differs within a group."""

import re
from decimal import Decimal

from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.numbers import LONGEST
from torqueaudit.model.torque.decimals import leading_number
from torqueaudit.model.torque.printed_torque import read_ends
from torqueaudit.model.torque.units import UnitTable
from torqueaudit.read.words import read_outcome

LARGEST_ANGLE = 720


def read_torque(units: UnitTable, text: str) -> Decimal:
    """A torque, "108 N·m", in N·m. Raises ValueError."""
    return units.parse(text).nm


def read_drag(units: UnitTable, text: str) -> tuple[Decimal, Decimal]:
    """The least and the most of a drag in N·m: "5 … 7 N·m", or "6 N·m", which is both. Raises ValueError."""
    ends = read_ends(text, units)
    if ends.value:
        return ends.value.nm, ends.value.nm
    if ends.lower is None or ends.upper is None:
        raise ValueError(f'"{text}" is a limit on one side; write the drag, or the least and the most over a turn')
    return ends.lower.nm, ends.upper.nm


def read_angle(text: str) -> Decimal:
    """The degrees of "92" or "92°". Raises ValueError."""
    try:
        number, rest = leading_number(text)
    except ValueError:
        number, rest = Decimal(0), ""
    if rest not in ("", "°") or not 0 < number <= LARGEST_ANGLE:
        raise ValueError(f'"{text}" is no angle; write the degrees turned after the torque, like 92')
    return number


def read_differing(text: str) -> tuple[int, Outcome]:
    """A number of a group with its own outcome, "3=clicked without turning". Raises ValueError."""
    number, _, outcome = (part.strip() for part in text.partition("="))
    if not (re.fullmatch("[0-9]{1,4}", number) and outcome):
        told = text if len(text) <= LONGEST else f"{text[:LONGEST]}…"
        raise ValueError(f"{told}: write 3=clicked without turning")
    return int(number), read_outcome(outcome)
