"""What stands between the number on a wrench and the torque at the fastener."""

from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

COVERAGE = 2  # k, for about 95 %: U, which people tell, is twice the standard uncertainty


class Fitted(NamedTuple):
    """Something put between the wrench and the fastener: its kind ("adapter") and its attributes as written."""

    kind: str
    attributes: dict[str, str]


def plain_fitted(fitted: Fitted) -> dict[str, Any]:
    """What was fitted, as an entry holds it."""
    return {"kind": fitted.kind, "attributes": fitted.attributes}


class BudgetLine(NamedTuple):
    """One contribution to the uncertainty of a torque, as a relative standard uncertainty.

    One that `adds` is a known error left in the figure: it is added to the expanded uncertainty as it stands, for it
    does not vary and so is no variance (JCGM 100:2008, F.2.4.5).
    """

    name: str
    relative: Decimal
    adds: bool = False


def plain_line(line: BudgetLine) -> dict[str, Any]:
    """One contribution, as an entry holds it."""
    plain = {"name": line.name, "relative": str(line.relative)}
    return {**plain, "adds": True} if line.adds else plain


class Correction(NamedTuple):
    """One factor between shown and applied torque: applied = shown × factor (dimensionless, positive).

    A Fraction where decimals cannot hold it: 4/3. `caution` is a sentence where it can be worked out and should be
    looked at again, "" where nothing is unusual.
    """

    name: str
    factor: Decimal | Fraction
    budget: tuple[BudgetLine, ...] = ()
    caution: str = ""


class WrenchUse(NamedTuple):
    """A wrench at one setting, as a correction is asked about it. Torques in N·m."""

    wrench: str  # its number, "" where only a calculator asks
    shown_nm: Decimal
    fitted: tuple[Fitted, ...]
    lever_mm: Decimal | None = None  # drive centre to the hand mark
    lever_u_mm: Decimal | None = None  # its standard uncertainty, where it was measured
