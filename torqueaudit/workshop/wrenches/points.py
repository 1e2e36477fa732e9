"""What a look at a wrench leaves open, in sentences.

What a calibration by ISO 6789 would hold and this one does not, a tester that is not known well enough, and readings
that the workshop's decision rule does not prove.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from torqueaudit.model.torque.units import format_number
from torqueaudit.model.torque.verdict import IN, OUT, verdict_of
from torqueaudit.model.wrench.classes import CLASSES, READINGS
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.words import percent_text, scale_text
from torqueaudit.model.wrench.wrench import InterimCheck, Wrench

SHARES = (Decimal("0.6"), Decimal(1))  # of the maximum, beside the lowest value: where it is calibrated (from memory)
NEAR = Decimal("0.05")  # how far off such a place, as a share of it, a point still counts
QUARTER = 4  # of the permissible deviation, the device's U at the most: ISO 6789-2:2017 (from memory)


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


def of_tester(wrench: Wrench, check: InterimCheck) -> Iterator[str]:
    """A tester that is not known well enough: its U is a quarter of what it judges by, at most."""
    most = wrench.permissible / QUARTER
    if check.expanded is not None and check.expanded > most:
        yield (
            f"the tester is known to ±{_percent(check.expanded)} only; to judge by ±{_percent(wrench.permissible)} it "
            f"takes ±{_percent(most)} or better"
        )


def not_proved(
    wrench: Wrench, points: Sequence[Point], expanded: Decimal | None, guard_factor: Decimal
) -> Iterator[str]:
    """What the workshop's decision rule does not prove of a look: its worst reading at each point, with its U.

    `expanded` stands in where a point states no W. By the readings alone a look passes or fails, as ISO 6789 has it.
    """
    for point in points:
        share = point.without_deviation or expanded
        worst = max(point.deviations, key=abs)
        verdict = verdict_of(worst, share, -wrench.permissible, wrench.permissible, guard_factor)
        if share is not None and verdict.word not in (IN, OUT):
            yield (
                f"{percent_text(worst)} at {point.at}, known to ±{_percent(share)}: {verdict.word} by {verdict.rule} "
                f"of ±{_percent(wrench.permissible)}"
            )


def _percent(share: Decimal) -> str:
    return f"{format_number(share * 100, 3)} %"
