"""What an entry says of entries that are lost, because a backup was put back that ends before them.

Heads that were told of them are on paper for ever. The entry takes the place of the first that is lost, so a head
between it and the last one that is lost is explained by it, and no sign of damage. So is a head that it names: one that
a damaged book told, or another ledger.
"""

from collections.abc import Callable
from typing import NamedTuple

from torqueaudit.book.engine import Engine
from torqueaudit.book.errors import BookError
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.entry import Entry, entry_of, subject_of_site

RESTORED = "restored.1"


class Lost(NamedTuple):
    """The entries from `first` to `last` are lost, none where that is before `first`; who said so, on which day.

    `heads` were told and do not hold. Without them none lost means that nobody knows which are.
    """

    first: int
    last: int
    by: str
    on: str
    heads: tuple[str, ...]

    @property
    def says(self) -> str:
        """That they are lost, as it begins a sentence."""
        many = self.last > self.first
        if self.last < self.first:
            return "No entry is lost" if self.heads else "Which entries are lost is not known"
        return f"Entries {self.first} to {self.last} are lost" if many else f"Entry {self.first} is lost"


def lost_by(entry: Entry) -> Lost:
    """What one such entry says."""
    return Lost(
        first=entry.sequence,
        last=entry.said["lost_up_to"],
        by=entry.who,
        on=entry.judged["on"],
        heads=tuple(entry.said.get("heads", ())),
    )


def lost_in(engine: Engine) -> list[Lost]:
    """What every such entry of the site says; nothing where the ledger is damaged so that they cannot be found."""
    try:
        with engine.in_words():
            texts = list(engine.texts_of(subject_of_site(engine.site), 0))
            return [lost_by(entry_of(text)) for text in texts if f'"kind":"{RESTORED}"' in text]
    except BookError:
        return []


def explained(engine: Engine) -> Callable[[Head], bool]:
    """Whether a head of this site is of entries that are said to be lost."""
    lost = lost_in(engine)

    def is_explained(head: Head) -> bool:
        found = (each.first <= head.sequence <= each.last or str(head) in each.heads for each in lost)
        return head.site == engine.site and any(found)

    return is_explained


def remarks(lost: list[Lost]) -> list[str]:
    """What is told of each for ever, in sentences."""
    return [f"{each.says}, says {each.by} in entry {each.first} of {each.on}: {_put_back(each)}" for each in lost]


def _put_back(lost: Lost) -> str:
    many = len(lost.heads) > 1
    heads = f", and {len(lost.heads)} {'heads' if many else 'head'} told before {'do' if many else 'does'} not hold"
    return f"a backup was put back{heads if lost.heads else ''}."
