"""The course of a job or of a vehicle: act by act what was told, with what was struck since and what came late."""

from collections.abc import Iterable
from datetime import datetime
from typing import NamedTuple

from torqueaudit.model.shown.job import JobView
from torqueaudit.model.shown.vehicle import VehicleView


class Happening(NamedTuple):
    """One act, or as much of it as stands alike: what it says, who told it, and when it happened and was recorded.

    `job` is "" for what is told of the vehicle. Moments are as the workshop's clock showed them. `why` is the reason or
    the remark that was told with it, in somebody's own words. `late` and `struck` say how late it was recorded, and who
    struck it, when and why; "" where it was not.
    """

    job: str
    entries: tuple[int, ...]
    by: str
    when: datetime
    recorded: datetime
    says: str
    why: str = ""
    late: str = ""
    struck: str = ""

    @property
    def text(self) -> str:
        """What it says, with its reason."""
        return f"{self.says}: {self.why}" if self.why else self.says

    @property
    def last(self) -> int:
        """The entry with which it was told to its end."""
        return self.entries[-1]

    @property
    def numbers(self) -> str:
        """Its entries by number."""
        return entry_numbers(self.entries)

    @property
    def order(self) -> tuple[datetime, int]:
        """The order of the work: when it happened, then as it was told."""
        return self.when, self.entries[0]

    @property
    def marks(self) -> tuple[str, ...]:
        """What is to be known before it is believed: that it was struck, that it came late."""
        return tuple(filter(None, (self.struck, self.late)))


class Said(NamedTuple):
    """What an act says, and the reason or the remark that was told with it."""

    says: str
    why: str = ""


class JobThen(NamedTuple):
    """A job as it stood at an entry of the record, how its vehicle stood then, and its course up to there.

    What was struck later stands in the course with its strike, for whoever reads it knows that since. `before` and
    `after` are the entries with which its acts before and after that moment ended, None where there is none; `newest`
    is the record's last entry.
    """

    job: JobView
    vehicle: VehicleView
    entry: int
    recorded: datetime
    newest: int
    before: int | None
    after: int | None
    course: tuple[Happening, ...]

    @property
    def title(self) -> str:
        """As of when it is told, in words: "As it stood on 2031-04-02 10:15"."""
        return f"As it stood on {self.recorded:%Y-%m-%d %H:%M}"


def entry_numbers(entries: Iterable[int]) -> str:
    """Entries by number: "#17", "#17, #19", "#17 to #21"."""
    first, *rest = sorted(entries)
    if len(rest) > 1 and rest[-1] - first == len(rest):
        return f"#{first} to #{rest[-1]}"
    return ", ".join(f"#{number}" for number in (first, *rest))
