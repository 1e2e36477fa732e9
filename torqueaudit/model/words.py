"""How values are said to people, the same at every door."""

from decimal import ROUND_HALF_EVEN, Decimal


def torque_text(nm: Decimal, *, bare: bool = False) -> str:
    """A torque in N·m to the tenth, or to the hundredth below 10, without idle zeros: "92.5 N·m"."""
    step = Decimal("0.01") if nm < 10 else Decimal("0.1")
    text = format(nm.quantize(step, ROUND_HALF_EVEN), "f")
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return text if bare else f"{text} N·m"


def distance_text(metres: int) -> str:
    """A distance in whole kilometres."""
    return f"{metres / 1000:.0f} km"
