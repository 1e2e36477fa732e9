"""What an entry says of entries that are lost, because a backup was put back that ends before them.

Heads that were told of them are on paper for ever. The entry takes the place of the first that is lost, so a head
between it and the last one that is lost is explained by it, and no sign of damage.
"""

from collections.abc import Callable
from typing import NamedTuple

from torqueaudit.book.engine import Engine
from torqueaudit.book.errors import BookError
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.entry import Entry, entry_of

RESTORED = "restored.1"


class Lost(NamedTuple):
    """The entries from `first` to `last` are lost; whoever said so, on which day."""

    first: int
    last: int
    by: str
    on: str

    @property
    def says(self) -> str:
        """That they are lost, as it begins a sentence."""
        many = self.last > self.first
        return f"Entries {self.first} to {self.last} are lost" if many else f"Entry {self.first} is lost"


def lost_by(entry: Entry) -> Lost:
    """What one such entry says."""
    return Lost(entry.sequence, entry.said["lost_up_to"], entry.who, entry.judged["on"])


def lost_in(engine: Engine) -> list[Lost]:
    """What every such entry of the site says; nothing where the ledger is damaged so that they cannot be found."""
    try:
        with engine.in_words():
            texts = list(engine.texts_of(f"site/{engine.site}", 0))
            return [lost_by(entry_of(text)) for text in texts if f'"kind":"{RESTORED}"' in text]
    except BookError:
        return []


def explained(lost: list[Lost]) -> Callable[[Head], bool]:
    """Whether a head is of entries that are said to be lost."""
    return lambda head: any(each.first <= head.sequence <= each.last for each in lost)


def remarks(lost: list[Lost]) -> list[str]:
    """What is told of each for ever, in sentences."""
    return [f"{each.says}, says {each.by} in entry {each.first} of {each.on}: a backup was put back." for each in lost]
