"""The entries last read, so that an act parses its subject's entries once: before it writes, not again after."""

from collections.abc import Sequence

from torqueaudit.ledger.entry import Entry

_SUBJECTS = 64


class Memory:
    """Entries that stand in the ledger for good: they never change, so the first n of a subject stay its first n.

    Keep only what is committed. The entries are shared by all who ask: nobody may change what their payloads hold.
    """

    def __init__(self) -> None:
        self._entries: dict[str, tuple[Entry, ...]] = {}

    def of(self, subject: str) -> tuple[Entry, ...]:
        """The first entries of a subject, as far as they were read before."""
        return self._entries.get(subject, ())

    def keep(self, subject: str, entries: Sequence[Entry]) -> None:
        """Remember a subject's first entries; of the subjects the longest unread is forgotten first."""
        self._entries.pop(subject, None)
        self._entries[subject] = tuple(entries)
        if len(self._entries) > _SUBJECTS:
            for oldest in list(self._entries)[:-_SUBJECTS]:
                self._entries.pop(oldest, None)
