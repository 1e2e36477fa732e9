"""What the nightly report holds: one content, from which every form of it is made. Plain text only, never HTML."""

from datetime import date, datetime
from typing import NamedTuple


class Line(NamedTuple):
    """One thing to do today: for a job on a vehicle, or for the workshop itself (`job` and `vehicle` empty).

    `holds` is what the job's fasteners hold first ("wheel", "brake", "sprocket", ""). Days and metres are None where
    nothing is late.
    """

    job: str
    vehicle: str
    tag: str
    title: str
    holds: str
    says: str
    days_late: int | None = None
    metres_late: int | None = None


class NightSection(NamedTuple):
    """One heading of the report and what stands under it; `key` is the same in every release."""

    key: str
    title: str
    lines: tuple[Line, ...]


class Chart(NamedTuple):
    """A picture as data, in the units that the names of its axes say ("distance in km", "wear in %").

    `points` are (x, y), a few dozen at most; `line` is drawn through its (x, y), `band` between its (x, lower, upper);
    `limit` is a y that is not to be passed. `says` tells the same to whoever cannot see it, in a sentence or two.
    """

    title: str
    says: str
    x_name: str
    y_name: str
    points: tuple[tuple[float, float], ...]
    line: tuple[tuple[float, float], ...] = ()
    band: tuple[tuple[float, float, float], ...] = ()
    limit: float | None = None


class ExtraSection(NamedTuple):
    """What a plugin adds to the nightly report or to a job's record: sentences, then a table, then a picture.

    Every row is as long as `columns`. The picture is drawn on a job's record; elsewhere its text stands for it.
    """

    title: str
    sentences: tuple[str, ...] = ()
    columns: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    chart: Chart | None = None

    @property
    def told(self) -> tuple[str, ...]:
        """Its sentences where no picture can be shown."""
        return (*self.sentences, self.chart.says) if self.chart else self.sentences


class Night(NamedTuple):
    """The nightly report of one local day.

    `exit_code` is 0 when nothing was missed, 1 when something was, 2 when something could not be audited. `head` is
    the chain's head as it is printed, to be held against the book later.
    """

    date: date
    site: str
    demo: bool
    sections: tuple[NightSection, ...]
    head: str
    asked_at: datetime
    exit_code: int
    extra: tuple[ExtraSection, ...] = ()
