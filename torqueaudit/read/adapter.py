"""What is put between a wrench and a fastener, as people write it: first the length in mm, then the angle."""

import re
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.numbers import read_decimal
from torqueaudit.model.torque.correction import COVERAGE, Fitted
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.fitted import measure_of
from torqueaudit.read.measured import split_uncertainty

SHORTEST_MM = 5  # drive centre to fastener centre; ours, no source
FOLDED_BACK = 180  # degrees
SQUARE = 90  # degrees: the usual angle of an adapter that is shorter than 90 mm
_SIDE = r"(?i)(?P<number>.*?)\s*(?P<unit>mm|°|deg|degrees)?"


class Side(NamedTuple):
    """One side of the @ as written: a number, what stands behind its ±, and the unit."""

    number: str
    spread: str
    unit: str


def read_adapter(text: str) -> Fitted:
    """An adapter, length in mm and angle in degrees: "50@45", or with units, "45mm@60°".

    Each with its uncertainty where it was measured, "50±0.5@45±2": U with k = 2 as everywhere, of which the attributes
    `length_u_mm` and `angle_u_deg` hold the half, the standard uncertainty. Raises ValueError, also where the two may
    have changed places and no unit says which is which.
    """
    first, at, second = text.partition("@")
    if not at:
        raise ValueError(f"{text}: write an adapter as length@angle, 50@45")
    length, angle = _side(first), _side(second)
    if angle.unit == "mm" or length.unit not in {"", "mm"}:
        length, angle = angle, length
    fitted = Fitted("adapter", {"length_mm": length.number, "angle_deg": angle.number})
    _require_adapter(text, *numbers_of(fitted), named=bool(length.unit or angle.unit))
    most = {"length_u_mm": measure_of(fitted, "length_mm"), "angle_u_deg": Decimal(SQUARE)}
    told = {"length_u_mm": length.spread, "angle_u_deg": angle.spread}
    return fitted._replace(
        attributes=fitted.attributes | {name: _half(text, told[name], most[name]) for name in told if told[name]}
    )


def _half(text: str, spread: str, most: Decimal) -> str:
    """The standard uncertainty of an expanded one."""
    expanded = read_decimal(spread, "the adapter's uncertainty", most)
    if not 0 < expanded < most:
        raise ValueError(f"{text}: an uncertainty is above 0 and below {most:f} here, not {expanded:f} (U, k = 2)")
    return decimal_text(expanded / COVERAGE)


def numbers_of(fitted: Fitted) -> list[Decimal]:
    """Its attributes as numbers. Raises ValueError for one that is none."""
    return [measure_of(fitted, name) for name in fitted.attributes]


def _side(written: str) -> Side:
    """What stands on one side of the @; the unit stands behind the number, behind its ±, or behind both."""
    number, sign, spread = split_uncertainty(written)
    (value, unit), (expanded, spread_unit) = _amount(number), _amount(spread)
    if sign and not expanded:
        raise ValueError(f"{written.strip()}: no number behind the ±; write 50±0.5")
    if unit and spread_unit and unit != spread_unit:
        raise ValueError(f"{written.strip()}: two units; write the uncertainty in that of its value")
    return Side(value, expanded, unit or spread_unit)


def _amount(written: str) -> tuple[str, str]:
    """A number, and its unit where one is written."""
    read = re.fullmatch(_SIDE, written)
    if read is None:
        return written, ""
    unit = (read["unit"] or "").casefold()
    return read["number"], unit if unit in {"", "mm"} else "°"


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
