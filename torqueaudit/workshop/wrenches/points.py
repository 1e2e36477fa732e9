"""What the points of a calibration leave open."""

from collections.abc import Sequence
from decimal import Decimal

from torqueaudit.model.wrench.words import scale_text
from torqueaudit.model.wrench.wrench import Point, Wrench

READINGS = 5  # at each point, ISO 6789-1:2017 (from memory)
SHARES = (Decimal("0.6"), Decimal(1))  # of the maximum, beside the lowest value: where it is calibrated (from memory)
NEAR = Decimal("0.05")  # how far off such a place, as a share of it, a point still counts


def remarks_on(wrench: Wrench, points: Sequence[Point], *, places: bool = True) -> list[str]:
    """What a calibration by ISO 6789 would hold and these points do not; `places`: also at which settings."""
    few = [point.at for point in points if len(point.references_nm) < READINGS]
    says = (
        [f"fewer than {READINGS} readings at {', '.join(few)}; ISO 6789 takes {READINGS} at each point"] if few else []
    )
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
