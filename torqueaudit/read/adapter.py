"""What is put between a wrench and a fastener, as people write it."""

from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.units import read_decimal


def read_adapter(text: str) -> Fitted:
    """An adapter, length in mm and angle in degrees: "50@45". Raises ValueError."""
    length, at, angle = text.partition("@")
    if not at:
        raise ValueError(f"{text}: write an adapter as length@angle, 50@45")
    fitted = Fitted("adapter", {"length_mm": length.strip(), "angle_deg": angle.strip()})
    require_numbers(fitted)
    return fitted


def require_numbers(fitted: Fitted) -> None:
    """Raise ValueError for an attribute that is no number."""
    for name, text in fitted.attributes.items():
        read_decimal(text, f"the adapter's {name}")
