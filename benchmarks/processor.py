"""The time of the processor, which other people's work on the same machine leaves alone."""

import statistics
import time
from collections.abc import Callable

ROUNDS = 9


def milliseconds(work: Callable[[], object]) -> float:
    """What some work takes of the processor, in the middle of several times."""
    took = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        took.append((time.process_time() - start) * 1e3)
    return statistics.median(took)
