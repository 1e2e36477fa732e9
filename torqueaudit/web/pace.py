"""How fast something may be asked for: a few at once, and so many a second after them."""

import time
from collections.abc import Callable
from threading import Lock


class Pace:
    """Counts what is asked for, of everybody together who shares it. May be shared between threads.

    `clock` gives seconds that only go on.
    """

    def __init__(self, a_second: float, at_once: int, clock: Callable[[], float] = time.monotonic) -> None:
        self._a_second, self._at_once = a_second, at_once
        self._clock = clock
        self._left, self._at = float(at_once), clock()
        self._alone = Lock()

    def one_more(self) -> bool:
        """Count one; whether it may be answered now, or has to be asked again later."""
        with self._alone:
            now = self._clock()
            self._left = min(self._at_once, self._left + (now - self._at) * self._a_second)
            self._at = now
            if self._left < 1:
                return False
            self._left -= 1
            return True
