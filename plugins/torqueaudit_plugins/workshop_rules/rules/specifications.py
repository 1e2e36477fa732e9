"""Do the values that the source prints for one fastener say the same, and do their limits say anything?

rear axle nut: the source prints 60 N·m and 6.0 kgf·m, which is 58.8 N·m; the first governs. Compare with the source.
"""

from collections.abc import Iterator
from decimal import Decimal

from torqueaudit.plugin import Fastener, Procedure, Remark, Weight, limits_text, subject_of, torque_text

WIDEST = 3  # times its lower limit; documents stay far below, and a slip of a digit is far beyond


def review_specifications(procedure: Procedure) -> Iterator[Remark]:
    """Printed values that contradict each other, and limits so far apart that they judge nothing."""
    for fastener in procedure.fasteners():
        yield from _disagreeing(fastener)
        yield from _too_wide(fastener)


def _disagreeing(fastener: Fastener) -> Iterator[Remark]:
    """Secondary values are often coarsely converted; what rounding does not explain may be a slip of the source."""
    for other in fastener.specification.disagreeing():
        *lower, last = other.nm
        is_nm = " … ".join([*(torque_text(nm, bare=True) for nm in lower), torque_text(last)])
        says = (
            f"the source prints {fastener.specification.written} and {other.written}, which is "
            f"{is_nm}; the first governs. Compare with the source."
        )
        yield Remark("workshop_rules/printed-values-disagree", Weight.CAUTION, subject_of(fastener), says)


def _too_wide(fastener: Fastener) -> Iterator[Remark]:
    specification = fastener.specification
    lower, upper = specification.lower_nm, specification.upper_nm
    if _wide(lower, upper):
        window = limits_text(lower, upper) if specification.tolerance else specification.written
        yield _wide_remark(fastener, window)
    if specification.angle_window and _wide(*specification.angle_window):
        least, most = specification.angle_window
        yield _wide_remark(fastener, f"an angle of {least:f} … {most:f}°")


def _wide(lower: Decimal | None, upper: Decimal | None) -> bool:
    return lower is not None and upper is not None and upper > WIDEST * lower


def _wide_remark(fastener: Fastener, window: str) -> Remark:
    says = f"{window} is so wide that nothing is judged by it. Compare with the source."
    return Remark("workshop_rules/limits-too-wide", Weight.CAUTION, subject_of(fastener), says)
