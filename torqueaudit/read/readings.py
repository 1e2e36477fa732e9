"""Readings as people tell them: "287.6 mm ± 0.5 mm at link 40", and what has to hold of those of one measurement.

Everything here raises ValueError with a sentence where it does not.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal

from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.numbers import MOST_IN, read_decimal
from torqueaudit.model.procedure.kinds import InputSpec, MeasurementKind, Reading
from torqueaudit.model.procedure.procedure import Measurement
from torqueaudit.read.measured import split_uncertainty

PLACE = "place"  # the condition that a place told beside the value speaks of too
_PLACE = re.compile(r"\s+(?:at|from)\s+")
_AMOUNT = re.compile(r"(?P<number>[^\s0-9]?[0-9.,]+)\s*(?P<unit>[^0-9\s].*)?")


def require_comparable(
    asked: Measurement, told: Iterable[tuple[str, str]], same: Callable[[str, str, str], bool] | None = None
) -> None:
    """What was taken under another condition than the procedure's limits hold for says nothing of them.

    `same` is the kind's own: whether other words say what is asked.
    """
    wanted = {_folded(name): value for name, value in asked.conditions}
    for name, value in told:
        if _folded(name) not in wanted:
            states = [name for name, _ in asked.conditions]
            near = did_you_mean(name, states, f"it states {', '.join(states) or 'none'}")
            raise ValueError(f"{asked.name}: the procedure states no condition “{name}”; {near}")
        if _folded(wanted[_folded(name)]) == _folded(value):
            continue
        if same is None or not same(_folded(name), wanted[_folded(name)], value):
            raise ValueError(
                f"{asked.name}: taken with {name} “{value}” it is not comparable, for the procedure asks for "
                f"“{wanted[_folded(name)]}”; take it again so"
            )


def require_place(
    asked: Measurement,
    conditions: Iterable[tuple[str, str]],
    place: str,
    same: Callable[[str, str, str], bool] | None = None,
) -> None:
    """A place told beside the value is the one that the procedure asks for, unless the condition itself was told.

    Fewer words for it will do: "mid-span" where it asks for "mid-span of the lower run". `same` says whether two
    words for one condition mean the same.
    """
    wanted = next((value for name, value in asked.conditions if _folded(name) == PLACE), "")
    told = any(_folded(name) == PLACE for name, _ in conditions)
    if not place or not wanted or told or _folded(place) in _folded(wanted):
        return
    if same is None or not same(PLACE, wanted, place):
        raise Refused(
            f"{asked.name}: “{place}” is not where the procedure asks for it, “{wanted}”",
            See(Topic.CONDITION, f"{PLACE}={wanted}"),
        )


def not_told(asked: Measurement, conditions: Iterable[tuple[str, str]], place: str) -> tuple[str, ...]:
    """The names of the procedure's conditions that nobody told, so that its own words stand in (decision 0034)."""
    told = {_folded(name) for name, _ in conditions} | ({PLACE} if place else set())
    return tuple(name for name, _ in asked.conditions if _folded(name) not in told)


def _folded(words: str) -> str:
    return " ".join(words.split()).casefold()


def read_dimension(asked: Measurement, written: str, uncertainty: str) -> Reading:
    """The value of a dimension, with the instrument's uncertainty where it tells none of its own."""
    if not written.strip():
        raise ValueError(f"{asked.name}: say what was measured; write “25 {asked.unit}”")
    spec = InputSpec(asked.name, asked.unit)
    return _with_uncertainty(asked.name, {spec: (read_reading(asked.name, spec, written),)}, uncertainty)[spec][0]


def read_inputs(
    asked: Measurement, kind: MeasurementKind, told: Iterable[tuple[str, str]], uncertainty: str
) -> dict[InputSpec, tuple[Reading, ...]]:
    """The readings of each input that was told, in the order of the kind's own."""
    specs = {spec.name: spec for spec in kind.inputs}
    found: dict[str, list[Reading]] = {}
    for name, text in told:
        if name not in specs:
            near = did_you_mean(name, specs, f"it is measured by {', '.join(specs)}")
            raise ValueError(f"{asked.name}: there is no input “{name}”; {near}")
        if name in found and not specs[name].several:
            raise ValueError(f"{asked.name}: {name} was told twice; say it once")
        found.setdefault(name, []).append(read_reading(f"{asked.name}, {name}", specs[name], text))
    missing = [spec.name for spec in kind.inputs if spec.required and spec.name not in found]
    if missing:
        raise ValueError(f"{asked.name}: say also {' and '.join(missing)}; it is measured by {', '.join(specs)}")
    inputs = {spec: tuple(found[spec.name]) for spec in kind.inputs if spec.name in found}
    return _with_uncertainty(asked.name, inputs, uncertainty)


def only_input(asked: Measurement, kind: MeasurementKind, written: str) -> str:
    """The input that a value told without a name is of: the only one there must be."""
    needed = [spec.name for spec in kind.inputs if spec.required]
    if len(needed) != 1:
        raise ValueError(f"{asked.name}: “{written}” does not say which it is of {', '.join(needed)}; name each input")
    return needed[0]


def read_reading(name: str, spec: InputSpec, text: str) -> Reading:
    """One reading as written: "19", "287.6 ± 0.5 mm", "287.6 mm ± 0.5 mm at link 40", "410 mm from the pivot"."""
    body, place, *_ = (*_PLACE.split(text, maxsplit=1), "")
    amount, sign, spread = split_uncertainty(body)
    value, unit = _amount(name, amount)
    expanded, spread_unit = _amount(name, spread) if sign else (None, "")
    if (unit or spread_unit) != spec.unit or spread_unit not in {"", spec.unit}:
        told = f"in {spec.unit}" if spec.unit else "as a number without unit"
        so = f"; write “{value:f} {spec.unit}”" if not unit else ""
        raise ValueError(f"{name}: “{text}” has to be told {told}{so}")
    if expanded is not None:
        _require_uncertain(name, expanded)
    return Reading(value, expanded, place.strip())


def _amount(name: str, text: str) -> tuple[Decimal, str]:
    read = _AMOUNT.fullmatch(text.strip())
    unit = ((read and read["unit"]) or "").strip()
    return read_decimal(read["number"] if read else text.strip(), name, MOST_IN.get(unit)), unit


def _require_uncertain(name: str, expanded: Decimal) -> None:
    if expanded <= 0:
        raise ValueError(f"{name}: an uncertainty is above zero, for no instrument is without")


def _with_uncertainty(
    name: str, inputs: Mapping[InputSpec, tuple[Reading, ...]], told: str
) -> dict[InputSpec, tuple[Reading, ...]]:
    """The instrument's uncertainty with every reading in its unit that tells none of its own."""
    if not told.strip():
        return dict(inputs)
    expanded, unit = _amount(name, told.strip().removeprefix("±"))
    _require_uncertain(name, expanded)
    if not unit or unit not in {spec.unit for spec in inputs}:
        raise ValueError(f"{name}: no reading is in the unit of the uncertainty “{told}”; write it like “0.5 mm”")
    return {
        spec: tuple(each if spec.unit != unit or each.expanded else each._replace(expanded=expanded) for each in own)
        for spec, own in inputs.items()
    }
