"""Two pictures of how the last months went, drawn by a plotting library in black on white, for screen and paper."""

from functools import lru_cache
from io import BytesIO
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.shown.trends import Trends

if TYPE_CHECKING:
    from collections.abc import Callable

    from matplotlib.axes import Axes

MOST_SIGNS = 28  # of a fastener's name
WIDTH, HEIGHT, ROW, AROUND = 6.0, 2.6, 0.32, 0.6  # inches, of which a page shows less
FEWEST_MONTHS = 2  # that are more than one number
FEWEST_MARKS = 4  # that fill the width
# The same months give the same bytes: ids are made from a text of ours, and glyphs are drawn, whatever fonts there are.
SETTINGS: dict[Any, Any] = {
    "svg.hashsalt": "torqueaudit",
    "svg.fonttype": "path",
    "font.family": "DejaVu Sans",
    "font.size": 11,
}
NOT_WRITTEN = dict.fromkeys(("Date", "Creator", "Format", "Type"))
# What a month's bar is made of, from below: the name of its number, words, colour, hatching.
PARTS = (
    ("in_time", "done by the day", "black", ""),
    ("later", "done later", "white", "///"),
    ("not_done", "not done", "white", ""),
)


class Picture(NamedTuple):
    """A picture as SVG, its name in a page, what it is of, and what it shows in words for who cannot see it."""

    name: str
    title: str
    says: str
    svg: bytes


@lru_cache(maxsize=2)  # one night asks for the same ones for screen and for paper
def trend_pictures(trends: Trends) -> tuple[Picture, ...]:
    """The pictures of what has numbers: the months where there are several, the marks where one was disturbed."""
    pictures = []
    if sum(each.due > 0 for each in trends.months) >= FEWEST_MONTHS:
        drawn = _drawn(HEIGHT, lambda axes: _months(axes, trends))
        pictures.append(Picture("months", "Re-checks by the month of their day", " ".join(trends.of_months), drawn))
    if trends.marks:
        drawn = _drawn(AROUND + ROW * len(trends.marks), lambda axes: _marks(axes, trends))
        pictures.append(Picture("marks", "Marks found disturbed, by fastener", trends.of_marks, drawn))
    return tuple(pictures)


def _months(axes: "Axes", trends: Trends) -> None:
    """A bar a month: what was done by the day at the bottom, what was not at the top."""
    from matplotlib.ticker import MaxNLocator

    names = [f"{each.month:%b}\n{each.month:%Y}" for each in trends.months]
    below = [0] * len(names)
    for kind, label, colour, hatch in PARTS:
        counts = [getattr(each, kind) for each in trends.months]
        axes.bar(names, counts, bottom=below, label=label, color=colour, edgecolor="black", hatch=hatch, linewidth=1.2)
        below = [low + count for low, count in zip(below, counts, strict=True)]
    axes.yaxis.set_major_locator(MaxNLocator(nbins=5, integer=True))
    axes.legend(loc="lower left", bbox_to_anchor=(0, 1), ncols=len(PARTS), frameon=False, borderaxespad=0)


def _marks(axes: "Axes", trends: Trends) -> None:
    """A bar a fastener, with its number behind it."""
    names = [each.name[:MOST_SIGNS] for each in reversed(trends.marks)]
    bars = axes.barh(names, [each.found for each in reversed(trends.marks)], color="black", height=0.6)
    axes.bar_label(bars, padding=4)
    axes.set_xlim(0, max(FEWEST_MARKS, trends.marks[0].found) * 1.1)
    axes.xaxis.set_visible(False)
    axes.spines["bottom"].set_visible(False)


def _drawn(height: float, draw: "Callable[[Axes], None]") -> bytes:
    from matplotlib import rc_context  # half a second
    from matplotlib.figure import Figure

    with rc_context(SETTINGS):
        figure = Figure(figsize=(WIDTH, height), layout="constrained")
        axes = figure.add_subplot()
        axes.spines[["top", "right"]].set_visible(False)
        draw(axes)
        file = BytesIO()
        figure.savefig(file, format="svg", metadata=NOT_WRITTEN)
    return file.getvalue()
