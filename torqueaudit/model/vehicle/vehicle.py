"""A vehicle as it was entered."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry


class Vehicle(NamedTuple):
    """A motorcycle, by number and by a tag that names nobody."""

    number: str
    tag: str
    model: str
    year: int | None


def fold_vehicle(entries: Sequence["Entry"]) -> Vehicle:
    """A vehicle as last entered; reports of loosening by others stand beside it."""
    entered = [entry for entry in entries if entry.kind == "entered.1"][-1]
    said = entered.said
    return Vehicle(entered.key, said["tag"], said["model"], said.get("year"))
