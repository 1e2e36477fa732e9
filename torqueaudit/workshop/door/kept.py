"""What a server has worked out of its book, kept until the book answers otherwise or its clock shows another minute.

Nothing here knows what changes what: everything that the book was asked on the way is asked again, once anybody has
written to it. So an act, a strike, an erasure, a setting or another program makes a page anew without a word of theirs
here. What rules and pages make of the clock they make of its minute. See decision 0101.
"""

from collections.abc import Callable, Hashable
from datetime import datetime
from threading import Lock
from typing import Any, NamedTuple, TypeVar

from torqueaudit.book.book import Book
from torqueaudit.book.notes import Notes

MOST = 128  # works of one kind; the one that was asked for longest ago gives way

T = TypeVar("T")


class _Work(NamedTuple):
    """Something worked out, what the book was asked for it, and how many changes it had seen when it still held."""

    made: Any
    notes: Notes
    changes: int


class Works:
    """What was worked out in one minute, by kind and key. May be shared between threads.

    What it gives is shared as well, so nobody changes it. Of each kind a number of its own is kept, so that strangers
    who ask for many records push nobody's bench out.
    """

    def __init__(self, book: Book, clock: Callable[[], datetime]) -> None:
        self._book = book
        self._clock = clock
        self._one_by_one = Lock()
        self._minute: datetime | None = None
        self._works: dict[str, dict[Hashable, _Work]] = {}

    def get(self, kind: str, key: Hashable, make: Callable[[], T]) -> T:
        """What `make` made of the book under this key, as long as that holds; else it is made anew.

        `make` works out of the book, of the clock's minute and of the plugins alone. What it also writes, or asks in a
        way that no notes tell of, is not kept.
        """
        engine, minute = self._book.engine, self._clock().replace(second=0, microsecond=0)
        changes = engine.changes()  # before anything is asked: what is written meanwhile counts as written later
        found = self._found(kind, key, minute)
        if found is not None and changes is not None and self._holds(found, changes):
            if (outer := engine.notes.here) is not None:
                outer.take_in(found.notes)
            made: T = found.made
        else:
            with engine.notes.taken() as notes:
                made = make()
            found = None if changes is None or notes.spoilt else _Work(made, notes, changes)
        self._keep(kind, key, minute, found._replace(changes=changes or 0) if found else None)
        return made

    def _holds(self, found: _Work, changes: int) -> bool:
        if found.changes == changes:
            return True
        with self._book.engine.in_words():
            return self._book.engine.holds(found.notes)

    def _found(self, kind: str, key: Hashable, minute: datetime) -> _Work | None:
        """What is kept under a key; all of another minute is forgotten, and with it what was erased since."""
        with self._one_by_one:
            if minute != self._minute:
                self._works.clear()
                self._minute = minute
            return self._works.setdefault(kind, {}).get(key)

    def _keep(self, kind: str, key: Hashable, minute: datetime, work: _Work | None) -> None:
        with self._one_by_one:
            works = self._works.setdefault(kind, {})
            works.pop(key, None)
            if work is not None and minute == self._minute:
                works[key] = work
                while len(works) > MOST:
                    del works[next(iter(works))]
