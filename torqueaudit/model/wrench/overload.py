"""Whether a wrench was used above the highest value it reaches, and nobody has put it aside or looked at it since.

Every door asks `overload_of`. A wrench that was overloaded may be bent or out of its setting, so each pass after it is
in doubt until somebody looks: decision 0079.
"""

from collections.abc import Iterable
from datetime import date, datetime
from typing import NamedTuple

from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.job.noted import Noted
from torqueaudit.model.wrench.order import Seen
from torqueaudit.model.wrench.wrench import Wrench, seen_since


class Overload(NamedTuple):
    """A pass that overloaded a wrench: the job it was done on, its local day, and what was told of it."""

    job: str
    on: date
    done: Tightening

    @property
    def entry(self) -> int:
        """The number of the entry that tells it."""
        return self.done.noted.entry

    @property
    def at(self) -> datetime:
        """The moment it was done."""
        return self.done.noted.happened_at

    @property
    def position(self) -> str:
        """The position of the fastener it was done on."""
        return self.done.position

    def precedes(self, noted: Noted) -> bool:
        """Whether a fact was so after it; of one moment the order of telling decides."""
        return (self.at, self.entry) < (noted.happened_at, noted.entry)


def overload_of(wrench: Wrench, passes: Iterable[Overload]) -> Overload | None:
    """The first of some passes, in the order of the work, that overloaded a wrench and is not answered since.

    It is answered once the wrench was put aside (dropped, overloaded or withdrawn was told of it) or looked at, by a
    calibration or an interim check: what that finds out withdraws the wrench. By its range of today.
    """
    if wrench.withdrawn:
        return None
    over = (each for each in passes if wrench.overloaded_by(each.done.most_shown_nm))
    return next((each for each in over if not any(seen_since(seen, each) for seen in _answers(wrench))), None)


def last_seen(wrench: Wrench) -> date | None:
    """The last day on which a wrench was put aside or looked at: whatever it did on a day before that is answered."""
    return max((each.on for each in _answers(wrench)), default=None)


def _answers(wrench: Wrench) -> tuple[Seen, ...]:
    return (*wrench.calibrations, *wrench.checks, *wrench.mishaps)
