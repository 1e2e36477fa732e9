"""How values are said to people, the same at every door."""

from decimal import ROUND_HALF_EVEN, Decimal

from torqueaudit.model.procedure import Specification

COARSE_FROM = Decimal(10)  # N·m; below it a tenth is too coarse


def torque_text(nm: Decimal, *, bare: bool = False) -> str:
    """A torque in N·m to the tenth, or to the hundredth below 10, without idle zeros: "92.5 N·m"."""
    step = Decimal("0.01") if nm < COARSE_FROM else Decimal("0.1")
    text = format(nm.quantize(step, ROUND_HALF_EVEN), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text if bare else f"{text} N·m"


def specified_text(specification: Specification) -> str:
    """A specified torque with what it allows: "22 N·m (19.8 … 24.2)", "62 … 68 N·m", "30 N·m + 45°"."""
    written = specification.written
    if specification.angle is not None:
        return f"{written} + {specification.angle:f}°"
    if specification.nominal_nm is None:
        return written
    limits = f"{torque_text(specification.lower_nm, bare=True)} … {torque_text(specification.upper_nm, bare=True)}"
    own = "own tolerance: " if specification.own_tolerance else ""
    return f"{written} ({own}{limits})"


def distance_text(metres: int) -> str:
    """A distance in whole kilometres."""
    return f"{metres / 1000:.0f} km"
