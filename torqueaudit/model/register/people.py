"""The people who record and check, by number."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.unread import Unread, told_of

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry


ENDED, PIN_SET, UNLOCKED = "ended.1", "pin_set.1", "unlocked.1"
KINDS = frozenset({"entered.1", "changed.1", ENDED, "struck.2", PIN_SET, UNLOCKED})


class Leaving(NamedTuple):
    """The end of somebody's work here: the last day, and the moment and the entry at which it was told."""

    on: date
    at: datetime
    entry: int
    why: str = ""

    def before(self, day: date, moment: datetime) -> bool:
        """Whether somebody had left before a moment, on a local day; on the last day itself the telling decides."""
        return day > self.on or moment >= self.at


class Person(NamedTuple):
    """Somebody who records or checks, by number; the name lives outside the ledger."""

    number: str
    roles: tuple[str, ...]
    supervisor: str = ""
    starts_on: date | None = None
    left: Leaving | None = None  # None while they work here
    unread: tuple[Unread, ...] = ()  # entries of theirs that cannot be read and were not struck

    @property
    def role(self) -> str:
        """The roles in one word, as an act records them."""
        return "+".join(self.roles)

    @property
    def only_trainee(self) -> bool:
        """Whether somebody else has to answer for the work, so that they cannot answer for others."""
        return self.roles == ("trainee",)

    def works_on(self, day: date) -> bool:
        """Whether somebody records here on a day, and has not been told to have left."""
        return self.left is None and (self.starts_on is None or self.starts_on <= day)

    def away_at(self, day: date, moment: datetime) -> str:
        """Why somebody was not here at a moment, on a local day: "left on 2031-04-30"; "" where they were."""
        if self.left and self.left.before(day, moment):
            return f"left on {self.left.on}"
        return f"starts on {self.starts_on}" if self.starts_on and day < self.starts_on else ""


def fold_person(entries: Sequence["Entry"]) -> Person:
    """A person as last entered and changed. A start that is told after somebody left brings them back."""
    person: Person
    person, unread = told_of(entries, _folded, KINDS)
    return person._replace(unread=unread) if unread else person


def _folded(entries: Sequence["Entry"]) -> Person:
    person = Person(entries[0].key, ())
    for entry in entries:
        person = _ended(person, entry) if entry.kind == ENDED else _told(person, entry)
    return person


def _told(person: Person, entry: "Entry") -> Person:
    said = entry.said
    told = person._replace(
        roles=tuple(said.get("roles", person.roles)), supervisor=said.get("supervisor", person.supervisor)
    )
    start = said.get("start")
    return told._replace(starts_on=date.fromisoformat(start), left=None) if start else told


def _ended(person: Person, entry: "Entry") -> Person:
    said = entry.said
    moment = datetime.fromisoformat(entry.happened_at)
    left = Leaving(date.fromisoformat(said["on"]), moment, entry.sequence, entry.told("why"))
    return person._replace(left=left)
