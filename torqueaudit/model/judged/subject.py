"""What a finding is about, as a name that people read and as the key and position that the program knows it by."""

from typing import NamedTuple

from torqueaudit.model.procedure.procedure import Fastener, Procedure, Work


class Subject(NamedTuple):
    """What a finding is about: a fastener, a step, a measurement, a part, or anything else by its name alone.

    `number` is that of one bolt of a group. `key` is the procedure's, `position` the fastener's on the vehicle; both
    are empty where the procedure has no such thing.
    """

    name: str
    number: int | None = None
    key: str = ""
    position: str = ""

    @property
    def text(self) -> str:
        """The name in words: "rear axle nut", "sprocket bolt 3"."""
        return self.name if self.number is None else f"{self.name} {self.number}"


def subject_of(item: Work) -> Subject:
    """A piece of the procedure's work as what a finding is about; of a group of bolts all of them."""
    return Subject(item.name, key=item.key, position=item.key if isinstance(item, Fastener) and item.size == 1 else "")


def subject_at(fastener: Fastener, position: str) -> Subject:
    """One fastener on the vehicle as what a finding is about. Raises ValueError for a position of another one."""
    number = fastener.positions.index(position) + 1
    return Subject(fastener.name, None if fastener.size == 1 else number, fastener.key, position)


def about_key(procedure: Procedure, key: str) -> Subject:
    """The work of a key, or the fastener of a position, also where the procedure has none of it."""
    item, fastener = procedure.item(key), procedure.fastener_at(key)
    if item is None:
        return subject_at(fastener, key) if fastener else Subject(key.replace("-", " "), key=key)
    return subject_of(item)
