"""The points of a calibration or a check as a form asks for them: one field for each figure, one unit for all.

They are put together as `read.points` takes them: nothing of a point is decided here.
"""

from collections.abc import Iterator
from typing import NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.web.office.told import AtField
from torqueaudit.web.office.wrenches import with_unit
from torqueaudit.web.typed import Typed

FOUND, LEFT = "found", "left"
POINTS = 6  # that a form has room for; ISO 6789 asks for three
STATED = (("w", "W"), ("interval", "W′"), ("loading", "b_ep"))  # of a point, by the name of its field


class PointFields(NamedTuple):
    """One point as it is typed: the names of its fields begin with `name`; `text` is "" where all are empty."""

    name: str
    text: str


def points_told(typed: Typed, which: str) -> tuple[PointFields, ...]:
    """The points of one kind that a form tells, in their order. Raises Refused for half a point."""
    rows = (PointFields(name, _text(typed, name)) for name in names_of(which))
    return tuple(row for row in rows if row.text)


def names_of(which: str) -> tuple[str, ...]:
    """How the names of the fields of each point begin."""
    return tuple(f"{which}-{number}" for number in range(1, POINTS + 1))


def at_point(refused: Refused, rows: tuple[PointFields, ...]) -> Refused:
    """A refusal at the point that it quotes; as it is where it quotes none."""
    meant = next((row for row in rows if f"“{row.text}”" in refused.says), None)
    return AtField(f"{meant.name}-readings", refused.says) if meant else refused


def _text(typed: Typed, name: str) -> str:
    at, readings = typed.one(f"{name}-at"), " ".join(typed.one(f"{name}-readings").split())
    stated = tuple(_stated(typed, name))
    if not (at or readings or stated):
        return ""
    if not at:
        raise AtField(f"{name}-at", "say what the wrench was set to at this point")
    if not readings:
        raise AtField(f"{name}-readings", "give the readings at this point, with spaces between: 97.2 98.1 97.6")
    return "; ".join((f"{with_unit(at, typed.one('unit'))}: {readings}", *stated))


def _stated(typed: Typed, name: str) -> Iterator[str]:
    for field, called in STATED:
        if figure := typed.one(f"{name}-{field}").removesuffix("%").rstrip():
            yield f"{called} {figure} %"
