"""What is measured of a brake, and what is written down with its parts."""

from collections.abc import Mapping
from typing import Any

from torqueaudit.plugin import (
    Derived,
    InputSpec,
    Measurement,
    MeasurementKind,
    PartAttribute,
    PartKind,
    Readings,
    format_number,
)
from torqueaudit_brake.table import CLASSES, FLUID_KIND, asked

COMPOUND = "compound"
CLASS = "class"


def _thinnest(told: str, readings: Readings, measurement: Measurement, do: str) -> Derived:
    """The least of the readings, for a brake is as thin as its thinnest place."""
    read = readings.inputs[told]
    if any(each.value <= 0 for each in read):
        raise ValueError(f"a {told} is thicker than 0 mm; read it again")
    least = min(read, key=lambda each: each.value)
    at = f", at {least.place}" if least.place else ""
    mend = f"{format_number(least.value, 4)} mm{at}, and {measurement.written} is specified: {do}"
    return Derived(least.value, least.expanded, f"thinnest of {len(read)}{at}", mend)


def thinnest_disc(readings: Readings, measurement: Measurement, tables: Mapping[str, Mapping[str, Any]]) -> Derived:
    """The disc where it is thinnest. Raises ValueError where the source asks for more places than were told."""
    places, told = asked(tables).disc_places, len(readings.inputs["disc"])
    if places is not None and told < places:
        raise ValueError(f"the disc was read at {told} of {places} places; read all of them")
    return _thinnest("disc", readings, measurement, "fit a new disc")


def thinnest_pad(readings: Readings, measurement: Measurement, _tables: Mapping[str, Mapping[str, Any]]) -> Derived:
    """The lining where it is thinnest, without the plate that carries it."""
    return _thinnest("pad", readings, measurement, "fit new pads, all of this brake")


DISC = MeasurementKind("brake disc thickness", ("mm",), (InputSpec("disc", "mm", several=True),), thinnest_disc)
PAD = MeasurementKind("brake pad thickness", ("mm",), (InputSpec("pad", "mm", several=True),), thinnest_pad)

COMPOUNDS = ("organic", "semi-metallic", "sintered")
PADS = PartKind("brake pads", (PartAttribute("make and type"), PartAttribute(COMPOUND, COMPOUNDS)))
WASHER = PartKind(
    "banjo washer", (PartAttribute("size", digits=True), PartAttribute("material", ("copper", "aluminium")))
)
FLUID = PartKind(FLUID_KIND, (PartAttribute(CLASS, CLASSES), PartAttribute("make and type")))
