"""How fast addresses may be guessed: whoever tries tokens that no label carries waits, and nobody else does."""

import time
from collections.abc import Callable
from threading import Lock

MOST_A_SECOND = 10  # a million guesses take more than a day; people mistype a few tokens a day
AT_ONCE = 50


class Misses:
    """Counts what was asked for in vain, of everybody together: who guesses from many places is no faster.

    `clock` gives seconds that only go on.
    """

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._left, self._at = float(AT_ONCE), clock()
        self._alone = Lock()

    def one_more(self) -> bool:
        """Count a miss; whether it may be answered now, or has to be asked again later."""
        with self._alone:
            now = self._clock()
            self._left = min(AT_ONCE, self._left + (now - self._at) * MOST_A_SECOND)
            self._at = now
            if self._left < 1:
                return False
            self._left -= 1
            return True
