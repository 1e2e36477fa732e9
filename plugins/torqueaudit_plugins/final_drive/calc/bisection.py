"""Where a function that only rises passes zero."""

from collections.abc import Callable


def root_of(rising: Callable[[float], float], low: float, high: float) -> float:
    """The place between `low` and `high` where `rising` passes zero, to the last digit of a float.

    `low` where it is not below zero even there, `high` where it is below zero still.
    """
    while low < (middle := (low + high) / 2) < high:
        if rising(middle) < 0:
            low = middle
        else:
            high = middle
    return high if rising(low) < 0 else low
