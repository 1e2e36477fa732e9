"""The people who record and check, by number."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry


class Person(NamedTuple):
    """Somebody who records or checks, by number; the name lives outside the ledger."""

    number: str
    roles: tuple[str, ...]
    supervisor: str = ""

    @property
    def role(self) -> str:
        """The roles in one word, as an act records them."""
        return "+".join(self.roles)


def fold_person(entries: Sequence["Entry"]) -> Person:
    """A person as last entered."""
    said = entries[-1].said
    return Person(entries[-1].key, tuple(said["roles"]), said.get("supervisor", ""))
