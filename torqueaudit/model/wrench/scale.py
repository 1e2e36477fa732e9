"""Which scale of a wrench was read, and what lies between two of its marks."""

import re
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.model.wrench.wrench import Scale, Wrench

DIVISION = "scale division"  # with which each line of a budget begins that is one
SAME_UNIT = Decimal("1e-12")  # a conversion is rounded at 28 digits
_ROOT_12 = Decimal(12).sqrt()


class Shown(NamedTuple):
    """A torque that a wrench was set to or showed, in N·m, and the scale it was read on where that is known."""

    nm: Decimal
    scale: Scale | None = None


def number_told(shown: str) -> Decimal | None:
    """The number of a torque as it was told: 66 of "66 lbf·ft", 92.5 of "92,5 Nm"; None where it begins otherwise."""
    number = re.match(r"[0-9.,]+", shown)
    return Decimal(number[0].replace(",", ".")) if number else None


def scale_read(wrench: Wrench, shown: str, shown_nm: Decimal) -> Scale | None:
    """The scale in whose unit a torque was told; None where the wrench has none in that unit, or none is known."""
    told = number_told(shown)
    if not told:
        return None
    return next((each for each in wrench.scales if abs(told * each.unit_nm / shown_nm - 1) < SAME_UNIT), None)


def division_lines(wrench: Wrench, shown: Shown) -> tuple[BudgetLine, ...]:
    """What lies between two marks of the scale that was read: half a division to each side, evenly.

    Source: JCGM 100:2008, F.2.2.1. Of the coarsest scale where it is not known which was read; none where no scale was
    entered.
    """
    if not wrench.scales:
        return ()
    read = shown.scale or max(wrench.scales, key=lambda each: each.division * each.unit_nm)
    relative = read.division * read.unit_nm / _ROOT_12 / shown.nm
    return (BudgetLine(f"{DIVISION} {read.division:f} {read.unit}", relative),)
