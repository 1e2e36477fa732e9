"""Which vehicle has a plate or a frame number, however it is spaced: one motorcycle is one record."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Self

from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.move_in.rows import KEY
from torqueaudit.model.nearest import letters_of

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop

PLATE, FRAME = "plate", "frame_number"
OWN = (FRAME, PLATE)  # what no other vehicle has


class KnownVehicles:
    """By what vehicles are known: their plates, frame numbers, and keys in lists from which they were moved in."""

    def __init__(self) -> None:
        self._vehicles: dict[tuple[str, str], list[str]] = defaultdict(list)

    @classmethod
    def of(cls, workshop: "Workshop", fields: Iterable[str]) -> Self:
        """Those of a book that have these fields, as they are now."""
        known = cls()
        for field in fields:
            for subject, value in workshop.book.known_by(field).items():
                known.add(subject.partition("/")[2], {field: value})
        return known

    @classmethod
    def like(cls, workshop: "Workshop", personal: Mapping[str, str]) -> Self:
        """Those of a book that may have a plate or a frame number that is told; where none is, nothing is read."""
        return cls.of(workshop, [field for field in OWN if personal.get(field)])

    def add(self, number: str, personal: Mapping[str, str]) -> None:
        """Add what a vehicle has of it."""
        for field in (*OWN, KEY):
            if spelled := _spelled(field, personal.get(field, "")):
                self._vehicles[field, spelled].append(number)

    def with_this(self, field: str, value: str, besides: str = "") -> str:
        """The number of another vehicle than `besides` that has it; "" where none has, or nothing is told."""
        found = self._vehicles.get((field, _spelled(field, value)), ())
        return next((each for each in found if each != besides), "")

    def require_own(self, personal: Mapping[str, str], number: str = "") -> None:
        """Refuse a plate or a frame number that another vehicle than `number` has."""
        for field in OWN:
            if other := self.with_this(field, personal.get(field, ""), number):
                has = f"{other} has this {field.replace('_', ' ')} already"
                raise Refused(f"{has}. If it is the same one, go on with {other}", See(Topic.VEHICLE_HAS, other))


def is_same(field: str, one: str, other: str) -> bool:
    """Whether two plates, frame numbers or keys are the same one."""
    return _spelled(field, one) == _spelled(field, other)


def _spelled(field: str, value: str) -> str:
    return value if field == KEY else letters_of(value)
