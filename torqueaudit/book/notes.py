"""What a book was asked while something was worked out of it, so that it is known whether that still holds.

Whatever is worked out of the book alone stays the same as long as the book answers the same. See decision 0101.
"""

import threading
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, TypeAlias

Asked: TypeAlias = tuple[str, tuple[str | int | None, ...]]  # a question in SQL, and its values
Rows: TypeAlias = list[tuple[Any, ...]]


class Notes:
    """Questions with what the book answered; `spoilt` where it was also written to, or asked in another way."""

    def __init__(self) -> None:
        self.answers: dict[Asked, Rows] = {}
        self.spoilt = False

    def add(self, asked: Asked, answer: Rows) -> None:
        """Note an answer. Where the same question was answered otherwise before, the book moved on meanwhile."""
        self.spoilt |= self.answers.setdefault(asked, answer) != answer

    def take_in(self, others: "Notes") -> None:
        """Note what else was asked for the same work."""
        self.spoilt |= others.spoilt
        for asked, answer in others.answers.items():
            self.add(asked, answer)

    def hold(self, ask: Callable[[str, Sequence[str | int | None]], Iterable[tuple[Any, ...]]]) -> bool:
        """Whether every question is answered as it was."""
        return not self.spoilt and all(list(ask(*asked)) == answer for asked, answer in self.answers.items())


class Noting:
    """Who takes notes just now: each thread for itself, and one work within another for both.

    `nobody` says that no thread takes any, which whoever is asked often looks at first.
    """

    def __init__(self) -> None:
        self._of = threading.local()
        self._one_by_one = threading.Lock()
        self._taking = 0
        self.nobody = True

    @property
    def here(self) -> Notes | None:
        """The notes that the calling thread takes; None where it takes none."""
        return getattr(self._of, "notes", None)

    @contextmanager
    def taken(self) -> Iterator[Notes]:
        """Note for a block whatever the calling thread asks."""
        before, notes = self.here, Notes()
        self._count(1)
        self._of.notes = notes
        try:
            yield notes
        finally:
            self._of.notes = before
            self._count(-1)
            if before is not None:
                before.take_in(notes)

    def _count(self, by: int) -> None:
        with self._one_by_one:
            self._taking += by
            self.nobody = not self._taking

    def noted(self, asked: Asked, rows: Iterable[tuple[Any, ...]]) -> Iterable[tuple[Any, ...]]:
        """What was answered, noted where the calling thread takes notes."""
        notes = self.here
        if notes is None:
            return rows
        answer = list(rows)
        notes.add(asked, answer)
        return answer

    def spoil(self) -> None:
        """Note that something was done of which no question tells whether it still holds."""
        if (notes := self.here) is not None:
            notes.spoilt = True
