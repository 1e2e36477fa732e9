"""What the points of a calibration leave open."""

from collections.abc import Sequence
from decimal import Decimal

from torqueaudit.model.wrench.classes import CLASSES, READINGS
from torqueaudit.model.wrench.words import scale_text
from torqueaudit.model.wrench.wrench import Point, Wrench

SHARES = (Decimal("0.6"), Decimal(1))  # of the maximum, beside the lowest value: where it is calibrated (from memory)
NEAR = Decimal("0.05")  # how far off such a place, as a share of it, a point still counts


def remarks_on(wrench: Wrench, points: Sequence[Point], *, places: bool = True) -> list[str]:
    """What a calibration by ISO 6789 would hold and these points do not; `places`: also at which settings."""
    of_class = CLASSES.get(wrench.iso_class)
    readings, of = (of_class.readings, f" of class {wrench.iso_class}") if of_class else (READINGS, "")
    few = [point.at for point in points if len(point.references_nm) < readings]
    takes = f"ISO 6789 takes {readings} at each point{of}"
    says = [f"fewer than {readings} readings at {', '.join(few)}; {takes}"] if few else []
    if of_class and of_class.fixed:
        return says
    if not places or wrench.min_nm is None or wrench.max_nm is None:
        return says
    wanted = (wrench.min_nm, *(share * wrench.max_nm for share in SHARES))
    missing = [scale_text(wrench, nm) for nm in wanted if not any(abs(p.shown_nm - nm) <= NEAR * nm for p in points)]
    if points and missing:
        says.append(
            f"no point at {', '.join(missing)}; ISO 6789 calibrates at the lowest value and at 60 % and 100 % of the "
            "maximum, and what lies outside the points is not proved"
        )
    return says
