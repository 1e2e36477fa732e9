"""A chart as a small inline SVG, read at arm's length in a bright yard: thick strokes, few words, no style sheet."""

from collections.abc import Iterable
from math import ceil, floor, log10
from typing import NamedTuple

from markupsafe import Markup

from torqueaudit.model.shown.section import Chart

LEFT, TOP, RIGHT, BOTTOM = 42, 24, 312, 168  # of the field, in a picture of 320 by 206
STEPS = (1, 2, 5, 10, 20)
FLAT = 1e-9  # of the greatest value; a smaller span is none


class _Axis(NamedTuple):
    """From which value, drawn at `start`, to which value, drawn at `end`."""

    least: float
    most: float
    start: int
    end: int

    def at(self, value: float) -> int:
        """Where a value is drawn; whole units are fine enough for a phone."""
        return round(self.start + (value - self.least) / (self.most - self.least) * (self.end - self.start))


def draw(chart: Chart, font: str = "") -> Markup:
    """The chart as markup, about 1 kB and 9 bytes for each point; its title holds the text for who cannot see it.

    Paper names the `font`, which the words in a drawing do not inherit there.
    """
    drawn = (*chart.points, *chart.line, *((x, y) for x, low, high in chart.band for y in (low, high)))
    limit = () if chart.limit is None else (chart.limit,)
    x = _axis([x for x, _ in drawn], LEFT, RIGHT)
    y = _axis([*(y for _, y in drawn), *limit], BOTTOM, TOP)
    parts = (
        Markup('<svg viewBox="0 0 320 206" width="100%" role="img" font-size="13" fill="none" stroke-width="3"'),
        Markup(' font-family="{}">').format(font) if font else Markup(">"),
        Markup("<title>{}: {}</title>").format(chart.title, chart.says),
        _band(chart, x, y),
        _line([(x.at(a), y.at(b)) for a, b in chart.line]),
        _limit(chart, y),
        Markup('<path stroke="currentColor" stroke-width="2" d="M{} {}V{}H{}"/>').format(LEFT, TOP - 6, BOTTOM, RIGHT),
        _points(chart, x, y),
        _words(chart, x, y),
        Markup("</svg>"),
    )
    return Markup("").join(parts)


def _axis(values: list[float], start: int, end: int) -> _Axis:
    """An axis that begins and ends at round numbers and holds every value."""
    least, most = min(values), max(values)
    size = max(abs(least), abs(most), 1.0)
    span = most - least if most - least > FLAT * size else size
    tenth = 10.0 ** floor(log10(span))
    step = next(step for each in STEPS if (step := each * tenth / 10) * 10 >= span)
    first, last = floor(least / step), ceil(most / step)
    return _Axis(first * step, (last if last > first else first + 1) * step, start, end)


def _path(places: Iterable[tuple[int, int]]) -> str:
    return "M" + "L".join(f"{x} {y}" for x, y in places)


def _line(places: list[tuple[int, int]]) -> Markup:
    if not places:
        return Markup("")
    return Markup('<path stroke="currentColor" d="{}"/>').format(_path(places))


def _band(chart: Chart, x: _Axis, y: _Axis) -> Markup:
    if not chart.band:
        return Markup("")
    there = [(x.at(a), y.at(low)) for a, low, _ in chart.band]
    back = [(x.at(a), y.at(high)) for a, _, high in reversed(chart.band)]
    return Markup('<path fill="currentColor" fill-opacity=".15" d="{}z"/>').format(_path([*there, *back]))


def _limit(chart: Chart, y: _Axis) -> Markup:
    if chart.limit is None:
        return Markup("")
    at = y.at(chart.limit)
    under = at - 5 if at - TOP > BOTTOM - at or at > TOP + 14 else at + 14
    line = Markup('<path stroke="#c30" stroke-dasharray="9 5" d="M{} {}H{}"/>').format(LEFT, at, RIGHT)
    words = Markup('<text fill="currentColor" font-weight="700" x="{}" y="{}">limit {}</text>')
    return line + words.format(LEFT + 6, under, _number(chart.limit))


def _points(chart: Chart, x: _Axis, y: _Axis) -> Markup:
    """Dots as strokes without length: the shortest way to write them."""
    places = sorted({(x.at(a), y.at(b)) for a, b in chart.points})
    dots = "".join(f"M{a} {b}h0" for a, b in places)
    return Markup('<path stroke="currentColor" stroke-width="9" stroke-linecap="round" d="{}"/>').format(dots)


def _words(chart: Chart, x: _Axis, y: _Axis) -> Markup:
    """The names of the axes, and the numbers at their ends."""
    written = (
        (LEFT - 5, BOTTOM, "end", _number(y.least)),
        (LEFT - 5, TOP + 6, "end", _number(y.most)),
        (LEFT, BOTTOM + 16, "start", _number(x.least)),
        (RIGHT, BOTTOM + 16, "end", _number(x.most)),
        ((LEFT + RIGHT) // 2, BOTTOM + 33, "middle", chart.x_name),
        (LEFT - 38, 12, "start", chart.y_name),
    )
    text = Markup('<text x="{}" y="{}" text-anchor="{}">{}</text>')
    return Markup('<g fill="currentColor">{}</g>').format(Markup("").join(text.format(*each) for each in written))


def _number(value: float) -> str:
    return f"{value:.6g}".replace("-", "−")
