"""What a plugin adds to a report or a record: sentences, a table, a picture as data."""

from typing import NamedTuple


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
    def in_words(self) -> tuple[str, ...]:
        """Its sentences where no picture can be shown."""
        return (*self.sentences, self.chart.says) if self.chart else self.sentences
