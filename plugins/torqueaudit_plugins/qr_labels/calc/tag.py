"""The tag: the symbol with its token, then large figures, then short lines of a name and words.

A second copy of the symbol stands at the other end where there is room: what soils one may spare the other.
"""

from math import ceil

from torqueaudit.plugin import LabelLine
from torqueaudit_plugins.qr_labels.calc.frame import LEAST, Area, Block, Filling, Layout, Words
from torqueaudit_plugins.qr_labels.calc.stock import ACROSS
from torqueaudit_plugins.qr_labels.calc.text import ASCENT, FIGURE, FIGURE_TOP, LINE, fit_text

_NAME, _FIGURE, _LEAST_FIGURE = LEAST, 11.0, 4.0  # millimetres
_LINES = (3.0, 2.6, 2.2)  # of the words, smaller only where one more line finds room


class Tag(Filling):
    """A tag being filled."""

    large = 0  # of the words of a line, in dots

    def filled(self) -> Layout:
        """Everything in its place. Raises LabelRefused where the symbol has no room."""
        rows = token_rows(self.content.token)
        if rows and self.stock.token == ACROSS and self.put_token_across():
            rows = []
        self.put_text(self.put_symbols(rows, copies=2))
        return self.done()

    def put_text(self, free: Area) -> None:
        """The figures as large as the lines allow; the least important lines go when there is no room."""
        between = 2 * self.gap + self.bar
        number, self.large = self.most_lines(free.height - self.dots(_LEAST_FIGURE) - between)
        lines, line = self.content.lines[:number], self.line_height(self.large)
        room = free.height - between - len(lines) * line
        figure = min(room, self.dots(_FIGURE))
        free = free.below((room - figure) // 2)
        self.put_figure(self.shown("", self.content.figure), free._replace(height=figure))
        free = free.below(figure + self.gap)
        free = self.put_bar(free).below(self.gap)
        lost = [each.name or each.words for each in self.content.lines[number:]]
        if lost:
            self.says.append(f"{self.content.title}: left out on stock {self.stock.name}: {', '.join(lost)}")
        for each in lines:
            self.put_line(each, free)
            free = free.below(line)

    def most_lines(self, height: int) -> tuple[int, int]:
        """How many lines have room at most, and the largest size of their words at which they do."""
        sizes = [self.dots(size) for size in _LINES]
        rooms = [min(len(self.content.lines), max(0, height // self.line_height(size))) for size in sizes]
        return max(rooms), sizes[rooms.index(max(rooms))]

    def line_height(self, large: int) -> int:
        """The height of a name and of the words below it, in dots."""
        return ceil(LINE * self.dots(_NAME)) + ceil(LINE * large)

    def put_figure(self, figure: str, free: Area) -> None:
        """The emblem and the figures as high as it, or smaller figures alone when they are many."""
        most = int(free.height / FIGURE)
        beside = free.height + self.gap
        text, size = fit_text(figure, free.width - beside, most, most, bold=True)
        if size == most and text == figure:
            self.blocks.append(
                Block(role="emblem", left=free.left, top=free.top, width=free.height, height=free.height)
            )
            free = free._replace(left=free.left + beside, width=free.width - beside)
        else:
            text, size = fit_text(figure, free.width, most, self.least, bold=True)
        above = ASCENT - FIGURE_TOP
        top = free.top + (free.height - int(FIGURE * size)) // 2 - int(above * size)
        self.words.append(Words(role="figure", text=text, left=free.left, top=top, width=free.width, size=size))

    def put_line(self, line: LabelLine, free: Area) -> None:
        """A small name above its words; without words a line to write on."""
        small, large = self.dots(_NAME), self.large
        name, size = fit_text(self.shown("a name", line.name), free.width, small, self.least)
        self.words.append(Words(role="name", text=name, left=free.left, top=free.top, width=free.width, size=size))
        free = free.below(ceil(LINE * small))
        if line.words:
            text = self.shown(line.name, line.words, line.instead)
            shown, size = fit_text(text, free.width, large, self.least, bold=True)
            self.words.append(Words(role="line", text=shown, left=free.left, top=free.top, width=free.width, size=size))
        else:
            self.blocks.append(
                Block(
                    role="rule",
                    left=free.left,
                    top=free.top + large - self.rule,
                    width=free.width,
                    height=ceil(self.rule / 2),
                )
            )


class Small(Filling):
    """A label with room for the symbol and the token alone; what has no token shows its figure."""

    def filled(self) -> Layout:
        """Everything in its place. Raises LabelRefused where the symbol has no room."""
        rows = token_rows(self.content.token) or [[self.shown("", self.content.figure)]]
        if self.content.demo:
            rows = [[*each[:-1], f"{each[-1]} DEMO"] for each in rows] + [[*each, "DEMO"] for each in rows]
        self.put_symbols(rows, copies=1, text_width=0)
        return self.done()


def token_rows(token: str) -> list[list[str]]:
    """Two rows, as one would be too small to read, or a row for each group where the letters are wide."""
    if not token:
        return []
    groups = token.split("-")
    half = (len(groups) + 1) // 2
    halves = ["-".join(part) for part in (groups[:half], groups[half:]) if part]
    return [[f"{row}-" for row in rows[:-1]] + rows[-1:] for rows in (halves, groups)]
