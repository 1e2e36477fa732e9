"""The entries last read, so that an act parses its subject's entries once: before it writes, not again after."""

from collections.abc import Sequence
from threading import Lock

from torqueaudit.ledger.entry import Entry

MOST = 8192  # entries


class Memory:
    """Entries that stand in the ledger for good: they never change, so the first n of a subject stay its first n.

    Keep only what is committed. The entries are shared by all who ask: nobody may change what their payloads hold.
    """

    def __init__(self) -> None:
        self._one_by_one = Lock()
        self._entries: dict[str, tuple[Entry, ...]] = {}
        self._held = 0

    def of(self, subject: str) -> tuple[Entry, ...]:
        """The first entries of a subject, as far as they were read before."""
        return self._entries.get(subject, ())

    def keep(self, subject: str, entries: Sequence[Entry]) -> None:
        """Remember a subject's first entries; of too many those of the subject longest unread are forgotten first."""
        with self._one_by_one:
            self._held += len(entries) - len(self._entries.pop(subject, ()))
            self._entries[subject] = tuple(entries)
            while self._held > MOST and len(self._entries) > 1:
                self._held -= len(self._entries.pop(next(iter(self._entries))))
