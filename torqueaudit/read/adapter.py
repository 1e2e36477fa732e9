"""What is put between a wrench and a fastener, as people write it: first the length in mm, then the angle."""

import re
from decimal import Decimal

from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.fitted import measure_of

SHORTEST_MM = 5  # drive centre to fastener centre; ours, no source
FOLDED_BACK = 180  # degrees
SQUARE = 90  # degrees: the usual angle of an adapter that is shorter than 90 mm
_SIDE = r"(?i)(?P<number>.*?)\s*(?P<unit>mm|°|deg|degrees)?"


def read_adapter(text: str) -> Fitted:
    """An adapter, length in mm and angle in degrees: "50@45", or with units, "45mm@60°".

    Raises ValueError, also where the two may have changed places and no unit says which is which.
    """
    first, at, second = text.partition("@")
    if not at:
        raise ValueError(f"{text}: write an adapter as length@angle, 50@45")
    (length, length_unit), (angle, angle_unit) = _side(first), _side(second)
    if angle_unit == "mm" or length_unit not in {"", "mm"}:
        length, angle = angle, length
    fitted = Fitted("adapter", {"length_mm": length, "angle_deg": angle})
    _require_adapter(text, *numbers_of(fitted), named=bool(length_unit or angle_unit))
    return fitted


def numbers_of(fitted: Fitted) -> list[Decimal]:
    """Its attributes as numbers. Raises ValueError for one that is none."""
    return [measure_of(fitted, name) for name in fitted.attributes]


def _side(written: str) -> tuple[str, str]:
    """The number on one side of the @, and its unit where one is written."""
    read = re.fullmatch(_SIDE, written.strip())
    return (read["number"], (read["unit"] or "").casefold()) if read else (written, "")


def _require_adapter(text: str, length: Decimal, angle: Decimal, *, named: bool) -> None:
    """Raise ValueError for what is no adapter, and for what reads as well with length and angle in the other order."""
    order = f"write the length in mm first, then the angle: {_other_way(length, angle)}"
    if length < SHORTEST_MM:
        raise ValueError(f"{text}: no adapter is {length:f} mm long, from drive centre to fastener centre; {order}")
    if abs(angle) > FOLDED_BACK:
        raise ValueError(f"{text}: no adapter stands at {angle:f}°, for {FOLDED_BACK}° is folded back; {order}")
    if not named and angle > length and angle not in {SQUARE, FOLDED_BACK}:
        raise ValueError(
            f"{text}: is it {length:f} mm long at {angle:f}°, or {angle:f} mm at {length:f}°? "
            f"Write {length:f}mm@{angle:f}° or {angle:f}@{length:f}"
        )


def _other_way(length: Decimal, angle: Decimal) -> str:
    """The same two numbers in the other order where these make an adapter, else an example."""
    return f"{angle:f}@{length:f}" if angle >= SHORTEST_MM and abs(length) <= FOLDED_BACK else "50@45"
