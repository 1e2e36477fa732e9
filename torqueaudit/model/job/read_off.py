"""Which of the readings of a job belongs to something that was done in it."""

from collections.abc import Iterable
from datetime import datetime
from typing import TypeVar

from torqueaudit.model.job.noted import Noted

R = TypeVar("R")


def nearest_read(runs: Iterable[tuple[Noted, R]], moment: datetime) -> tuple[Noted, R] | None:
    """The reading nearest in time: before the work a job is opened, after that of a re-check it ends."""
    return min(runs, key=lambda each: _distance(each[0], moment), default=None)


def _distance(noted: Noted, moment: datetime) -> tuple[object, datetime, int]:
    return abs(noted.happened_at - moment), noted.happened_at, noted.entry
