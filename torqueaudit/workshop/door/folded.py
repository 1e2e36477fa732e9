"""What the entries of a subject were folded to, kept beside them: the same entries make the same.

So nothing here can be stale, whatever the clock shows and whoever writes: whoever asks has read the entries anew. What
people told in their own words stands in what is folded, so all of it is forgotten once the site itself tells anything,
as whoever erases words does. See decision 0129.
"""

from threading import Lock
from typing import TYPE_CHECKING, Any, NamedTuple, TypeVar

from torqueaudit.ledger.entry import subject_of_site

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from torqueaudit.ledger.entry import Entry

MOST = 8192  # entries of which what they were folded to is kept
_SITE = subject_of_site("")

T = TypeVar("T")


class _Fold(NamedTuple):
    """What entries were folded to."""

    entries: "Sequence[Entry]"
    made: Any


class Folds:
    """What was folded, by subject; of too many the one asked for longest ago gives way. May be shared by threads.

    What it gives is shared as well, so nobody changes it.
    """

    def __init__(self) -> None:
        self._one_by_one = Lock()
        self._folds: dict[str, _Fold] = {}
        self._held = 0

    def of(self, subject: str, entries: "Sequence[Entry]", fold: "Callable[[Sequence[Entry]], T]") -> T:
        """What the entries of a subject are folded to, by its one `fold`. Raises as that does."""
        known = self._folds.get(subject)
        if known is not None and known.entries == entries:
            made: T = known.made
        else:
            if subject.startswith(_SITE):
                self._forget()
            made = fold(entries)
            known = _Fold(entries, made)
        self._keep(subject, known)
        return made

    def held(self) -> frozenset[str]:
        """The subjects of which something is kept."""
        with self._one_by_one:
            return frozenset(self._folds)

    def _forget(self) -> None:
        with self._one_by_one:
            self._folds.clear()
            self._held = 0

    def _keep(self, subject: str, fold: _Fold) -> None:
        with self._one_by_one:
            before = self._folds.pop(subject, None)
            self._folds[subject] = fold
            self._held += len(fold.entries) - (len(before.entries) if before else 0)
            while self._held > MOST and len(self._folds) > 1:
                self._held -= len(self._folds.pop(next(iter(self._folds))).entries)
