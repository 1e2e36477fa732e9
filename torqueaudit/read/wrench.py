"""What is said of a wrench when it is entered, read: its lever, its range and its scales."""

import re
from collections.abc import Iterable
from decimal import Decimal

from torqueaudit.model.numbers import read_decimal
from torqueaudit.model.torque.units import Torque, UnitTable
from torqueaudit.model.wrench.classes import CLASSES
from torqueaudit.read.measured import Measured, split_uncertainty

SHORTEST_LEVER_MM, LONGEST_LEVER_MM = 150, 2000  # beyond them it was mistyped, or told in another unit; no source
FROST_C, HOTTEST_C = 0, 50  # of a room where somebody calibrates; no source
LARGEST_SPREAD_MM = 100  # ours, no source


def read_lever(text: str) -> Measured:
    """A lever in mm, drive centre to hand mark, "500", with U (k = 2) where it is told: "500±2". Raises ValueError."""
    between = f"between {SHORTEST_LEVER_MM} and {LONGEST_LEVER_MM}"
    given = f"{text}: a lever is given in mm, drive centre to hand mark, and lies {between}"
    written, sign, spread = (part.removesuffix("mm").rstrip() for part in split_uncertainty(text))
    try:
        lever = read_decimal(written, "the number", LONGEST_LEVER_MM)
        expanded = read_decimal(spread, "its uncertainty", LARGEST_SPREAD_MM) if sign else None
    except ValueError as error:
        raise ValueError(f"{given}; {error}") from None
    if not SHORTEST_LEVER_MM <= lever <= LONGEST_LEVER_MM:
        raise ValueError(f"{given}; was it cm or inches, or is a digit wrong?")
    if expanded is not None and not 0 < expanded <= LARGEST_SPREAD_MM:
        raise ValueError(f"{text}: the uncertainty of a lever is above 0 and at most {LARGEST_SPREAD_MM} mm (k = 2)")
    return Measured(lever, expanded)


def read_class(text: str) -> str:
    """Type and class of ISO 6789, "II A", however it is written: "IIa", "type II class A". Raises ValueError."""
    written = re.fullmatch(r"(?:type)?(II?)(?:class)?([A-G])", re.sub(r"[\s,.-]", "", text), re.IGNORECASE)
    found = f"{written[1]} {written[2]}".upper() if written else ""
    if found not in CLASSES:
        raise ValueError(f"{text}: type and class of ISO 6789 are {', '.join(CLASSES)}")
    return found


def read_temperature(text: str) -> Decimal:
    """A temperature in °C, "21.5" or "21.5 °C". Raises ValueError."""
    written = text.strip().removesuffix("C").rstrip("° ")
    temperature = read_decimal(written, "a temperature in °C", HOTTEST_C)
    if not FROST_C <= temperature <= HOTTEST_C:
        raise ValueError(f"{text}: a wrench is calibrated between {FROST_C} and {HOTTEST_C} °C; was it another unit?")
    return temperature


def read_range(units: UnitTable, lowest: str, highest: str) -> tuple[Decimal, Decimal] | None:
    """Both ends of a wrench's range in N·m, None where neither is written. Raises ValueError."""
    ends = [units.parse(text).nm for text in (lowest, highest) if text]
    if not ends:
        return None
    if len(ends) == 1 or ends[0] >= ends[1]:
        raise ValueError("a wrench's range goes from its lowest to its highest value; give both, the lower first")
    return ends[0], ends[1]


def read_scales(units: UnitTable, divisions: Iterable[str], highest_nm: Decimal | None) -> tuple[Torque, ...]:
    """One division of each scale, in its unit. Raises ValueError for one unit twice, or one as wide as the scale."""
    scales = tuple(units.parse(text) for text in divisions)
    symbols = [scale.unit.symbol for scale in scales]
    if len(set(symbols)) < len(symbols):
        raise ValueError("two scales of one wrench in the same unit; give each unit once, with its division")
    for scale in scales:
        if highest_nm is not None and scale.nm >= highest_nm:
            raise ValueError(f"a division of {scale.value:f} {scale.unit.symbol} is as wide as the whole scale")
    return scales
