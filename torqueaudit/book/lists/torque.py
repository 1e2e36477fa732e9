"""A torque as a list keeps it, so that an index finds what lies above another one: whole mN·m, never a float."""

from decimal import Decimal
from math import ceil, floor

MOST_MNM = 2**53  # what is told above it, of no wrench, is kept as this


def listed_mnm(nm: Decimal | None) -> int | None:
    """A torque as it is kept, rounded up."""
    return None if nm is None else min(ceil(nm * 1000), MOST_MNM)


def listed_above_mnm(nm: Decimal) -> int:
    """What every torque above one is kept higher than; one that is less than 1 mN·m below it may be, too."""
    return min(floor(nm * 1000), MOST_MNM - 1)
