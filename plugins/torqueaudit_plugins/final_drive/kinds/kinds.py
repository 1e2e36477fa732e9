"""The kinds of measurement of a final drive: what is told of each. `values` makes a value of it, when one is taken."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from torqueaudit.plugin import Derived, InputSpec, MeasurementKind, Readings
from torqueaudit_plugins.final_drive.table.content import ALIGNMENT, FLARE, POSITION, SLACK, WEAR

if TYPE_CHECKING:
    from torqueaudit.plugin import Measurement


def _by(name: str) -> Callable[[Readings, "Measurement", Mapping[str, Mapping[str, Any]]], Derived]:
    """The function of `values` that has this name, imported when it is first asked."""

    def derive(readings: Readings, measurement: "Measurement", tables: Mapping[str, Mapping[str, Any]]) -> Derived:
        from torqueaudit_plugins.final_drive.kinds import values

        derived: Derived = getattr(values, name)(readings, measurement, tables)
        return derived

    return derive


def _same_end(name: str, asked: str, told: str) -> bool:
    from torqueaudit_plugins.final_drive.calc.alignment import same_end

    return same_end(name, asked, told)


LEFT, RIGHT = InputSpec("left", "mm"), InputSpec("right", "mm")
KINDS = (
    MeasurementKind(WEAR, ("%", "mm"), (InputSpec("pins"), InputSpec("length", "mm", several=True)), _by("wear")),
    MeasurementKind(SLACK, ("mm",), (InputSpec("slack", "mm", several=True),), _by("slack")),
    MeasurementKind(
        name=ALIGNMENT, units=("mm", "°"), inputs=(LEFT, RIGHT), derive=_by("alignment"), same_condition=_same_end
    ),
    MeasurementKind(FLARE, ("mm",), (InputSpec("rivet", "mm", several=True),), _by("flare")),
    MeasurementKind(POSITION, ("mm",), (LEFT, RIGHT), _by("position")),
)
