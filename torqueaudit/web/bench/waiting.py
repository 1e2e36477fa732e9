"""Photos that were just taken and wait to be looked at: in memory alone, for a while, and not too many."""

from datetime import datetime
from threading import Lock
from time import monotonic
from typing import NamedTuple

from torqueaudit.photo import Harmless

LONGEST = 15 * 60  # seconds
MOST_OF_ONE = 2  # photos of one session
MOST_BYTES = 24 * 1024 * 1024  # of all of them together


class Taken(NamedTuple):
    """A photo and the moment at which it was taken (aware), which lies before it came where no connection was."""

    picture: Harmless
    at: datetime


class _Photo(NamedTuple):
    """A photo, the session that took it, and until when it waits."""

    taken: Taken
    holder: str
    until: float


class Waiting:
    """The photos that wait. The oldest gives way: of whoever has too many, then of all.

    `holder` is whatever tells one session from another.
    """

    def __init__(self) -> None:
        self._photos: dict[str, _Photo] = {}  # in the order in which they came
        self._one_by_one = Lock()

    def put(self, key: str, holder: str, taken: Taken) -> None:
        """Let a photo wait under a key that nobody can guess."""
        with self._one_by_one:
            self._photos.pop(key, None)
            self._photos[key] = _Photo(taken, holder, monotonic() + LONGEST)
            own = [each for each, photo in self._photos.items() if photo.holder == holder]
            for each in own[:-MOST_OF_ONE]:
                del self._photos[each]
            while len(self._photos) > 1 and self._bytes() > MOST_BYTES:
                del self._photos[next(iter(self._photos))]

    def get(self, key: str, holder: str) -> Taken | None:
        """The photo of a key, for the session that took it alone; None where it waits no longer."""
        with self._one_by_one:
            for each in [each for each, photo in self._photos.items() if photo.until < monotonic()]:
                del self._photos[each]
            photo = self._photos.get(key)
        return photo.taken if photo and photo.holder == holder else None

    def drop(self, key: str, holder: str) -> None:
        """Forget a photo that was kept, or thrown away."""
        if self.get(key, holder):
            with self._one_by_one:
                self._photos.pop(key, None)

    def _bytes(self) -> int:
        return sum(len(each.taken.picture.photo) + len(each.taken.picture.small) for each in self._photos.values())
