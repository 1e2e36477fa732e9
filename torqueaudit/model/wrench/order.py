"""In which order a wrench was looked at, and which of two looks counts whose order nobody knows: the worse one.

A calibration that holds as found and as left knows its own order. Two entries of one day are ordered by their moments,
never by which of them was told first. See decision 0077.
"""

from collections.abc import Callable, Sequence
from datetime import date, datetime
from typing import Any, Protocol, TypeVar


class Seen(Protocol):
    """Something seen of a wrench on a day, by its entry; `at` is the moment, None where nobody told it."""

    @property
    def entry(self) -> int:
        """The number of its entry."""

    @property
    def on(self) -> date:
        """The local day."""

    @property
    def at(self) -> datetime | None:
        """The moment, where it is known."""


S = TypeVar("S", bound=Seen)
Worse = Callable[[S], Any]  # a rank: the higher, the worse


def is_after(one: Seen, other: Seen) -> bool:
    """Whether one certainly happened after the other: on a later day, or on one day by their moments."""
    if one.on != other.on:
        return one.on > other.on
    return one.at is not None and other.at is not None and one.at > other.at


def unordered(one: Seen, other: Seen) -> bool:
    """Whether nobody can tell which of two happened first."""
    return not is_after(one, other) and not is_after(other, one)


def first_of(looks: Sequence[S], worse: Worse[S]) -> S | None:
    """The look that was done first; of those that may have been first the worst."""
    day = min((each.on for each in looks), default=None)
    of_day = [each for each in looks if each.on == day]
    return _worst([each for each in of_day if not any(is_after(each, other) for other in of_day)], worse)


def last_of(looks: Sequence[S], worse: Worse[S]) -> S | None:
    """The look that was done last; of those that may have been last the worst."""
    day = max((each.on for each in looks), default=None)
    of_day = [each for each in looks if each.on == day]
    return _worst([each for each in of_day if not any(is_after(other, each) for other in of_day)], worse)


def _worst(looks: Sequence[S], worse: Worse[S]) -> S | None:
    """The worst of some looks; one alone is not ranked, which takes long."""
    return looks[0] if len(looks) == 1 else max(looks, key=worse, default=None)
