"""Kinds of measurement: what is told of one, and what that means.

A kind is its name, the units its value may be judged in, what is told, and how the value comes of it. The core's own
kind is the dimension: one value, as it was told.
"""

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.procedure.procedure import DIMENSION

if TYPE_CHECKING:
    from torqueaudit.model.procedure.procedure import Measurement


class InputSpec(NamedTuple):
    """What is told of a measurement under one name: InputSpec("length", "mm", several=True); without unit a number."""

    name: str
    unit: str = ""
    several: bool = False  # whether it may be told more than once, at several places
    required: bool = True


class Reading(NamedTuple):
    """One value as it was read, in the unit of its input.

    `expanded` is the instrument's expanded uncertainty (k = 2) in that unit, None where none was told. `place` is where
    it was read, "link 3", without the "at" it was told with.
    """

    value: Decimal
    expanded: Decimal | None = None
    place: str = ""


class Readings(NamedTuple):
    """All that was told of one measurement, by the names of its inputs, each in the order it was told.

    `conditions` are those it was taken under, told or as the procedure asks: {"posture": "side stand"}.
    """

    inputs: Mapping[str, tuple[Reading, ...]]
    conditions: Mapping[str, str]
    place: str = ""


class Derived(NamedTuple):
    """What comes of the readings: a value in the measurement's own unit.

    `expanded` is its expanded uncertainty (k = 2), None where the readings told none; `says` tells what it rests on:
    "worst at link 40: 287.6 mm over 18 pitches". `mend` is what is said where the value lies outside its limits and
    "set it right" would be wrong: "worn 0.95 %, the most is 0.8 %: replace the chain"; "" where it would not.
    """

    value: Decimal
    expanded: Decimal | None = None
    says: str = ""
    mend: str = ""


class MeasurementKind(NamedTuple):
    """A kind that `measure` in a procedure may name, and what it means.

    `units` are those its value may be judged in. `derive` is given, in this order, the readings, the procedure's
    measurement (whose `unit` is one of them) and all of the procedure's tables `[x.NAME]` by name; it raises ValueError
    with a sentence where the readings cannot be right. `same_condition` is given a condition's name, what is asked and
    what was told, and answers whether other words say the same; without it only the same words do.
    """

    name: str
    units: tuple[str, ...]
    inputs: tuple[InputSpec, ...]
    derive: Callable[[Readings, "Measurement", Mapping[str, Mapping[str, Any]]], Derived]
    same_condition: Callable[[str, str, str], bool] | None = None


class OwnedKind(NamedTuple):
    """A kind, and the plugin that gives it."""

    plugin: str
    kind: MeasurementKind


def require_kinds(given: Iterable[MeasurementKind], known: Mapping[str, OwnedKind]) -> None:
    """Raise ValueError unless each kind that a plugin gives is new and has everything it needs."""
    owners = {DIMENSION: "the core", **{name: f"plugin {owned.plugin}" for name, owned in known.items()}}
    for kind in given:
        if kind.name in owners:
            raise ValueError(f"“{kind.name}” is also given by {owners[kind.name]}")
        if not kind.name or not kind.units or not kind.inputs:
            raise ValueError(f"“{kind.name}” has no name, no unit or no input")
        owners[kind.name] = "itself"
