"""Where everything stands on one label, in whole printer dots, so that a sheet and a roll are laid out alike.

A tag reads from the left: the symbol with its token below, then the job's number in large figures, then the lines. A
second copy of the symbol stands at the other end where there is room: what soils one may spare the other.
"""

from math import ceil
from typing import NamedTuple

from torqueaudit.model.label import LabelContent
from torqueaudit_plugins.qr_labels.stock import MILLIMETRES_PER_INCH, LabelRefused, Stock
from torqueaudit_plugins.qr_labels.symbol import draw_symbol
from torqueaudit_plugins.qr_labels.text import ASCENT, FIGURE, FIGURE_TOP, LINE, fit_text, width_of

LEAST_DOTS = 4  # per module
_SIZES = ((2, 7), (2, 6), (2, 5), (1, 7), (1, 6), (1, 5), (1, LEAST_DOTS))  # copies, dots per module, best first

# Millimetres. Letters of a font under 1.8 mm are not read at arm's length.
_TEXT_WIDTH, _GAP, _RULE = 20.0, 1.0, 0.35
_LEAST, _TOKEN, _NAME, _LINE, _FIGURE, _LEAST_FIGURE = 1.8, 2.6, 1.8, 3.0, 11.0, 4.0


class Words(NamedTuple):
    """One line of text in a box as high as its font's line; never wider than the box."""

    role: str  # figure, token, name, line, demo
    text: str
    left: int
    top: int
    width: int
    size: int  # of the font, in dots

    @property
    def bold(self) -> bool:
        """Everything but the names of the lines."""
        return self.role != "name"

    @property
    def centred(self) -> bool:
        """Whether the text stands in the middle of its box."""
        return self.role in {"token", "demo"}


class Block(NamedTuple):
    """A picture (symbol, emblem) or a black rectangle (rule)."""

    role: str
    left: int
    top: int
    width: int
    height: int


class Layout(NamedTuple):
    """One label ready to draw; dots from its left and top, blocks below words."""

    width: int
    height: int
    blocks: tuple[Block, ...]
    words: tuple[Words, ...]

    @property
    def copies(self) -> int:
        """How often the symbol stands on the label."""
        return sum(block.role == "symbol" for block in self.blocks)


class Area(NamedTuple):
    """A part of the label that is still free, in dots."""

    left: int
    top: int
    width: int
    height: int

    def below(self, height: int) -> "Area":
        """Give what is left when the uppermost `height` dots are taken."""
        return self._replace(top=self.top + height, height=self.height - height)


def lay_out(content: LabelContent, stock: Stock) -> Layout:
    """Lay out one label. Raises LabelRefused when the symbol cannot be printed large enough to be read."""
    return _Tag(stock).filled(content)


class _Tag:
    """A label being filled."""

    def __init__(self, stock: Stock) -> None:
        self.stock = stock
        self.width, self.height = (stock.dots(size) for size in stock.label_mm)
        self.gap, self.rule = self.dots(_GAP), self.dots(_RULE)
        self.blocks: list[Block] = []
        self.words: list[Words] = []

    def dots(self, millimetres: float) -> int:
        return ceil(millimetres * self.stock.dpi / MILLIMETRES_PER_INCH - 1e-9)

    def filled(self, content: LabelContent) -> Layout:
        edge = self.dots(self.stock.quiet_edge_mm)
        free = Area(edge, edge, self.width - 2 * edge, self.height - 2 * edge)
        copies, side, rows = self.choose(content, free)
        self.put_symbol(free._replace(width=side), rows)
        if copies > 1:
            self.put_symbol(free._replace(left=self.width - edge - side, width=side), rows)
        beside = side + self.gap
        self.put_text(content, free._replace(left=edge + beside, width=free.width - copies * beside))
        return Layout(self.width, self.height, tuple(self.blocks), tuple(self.words))

    def choose(self, content: LabelContent, free: Area) -> tuple[int, int, list[str]]:
        """Choose the copies of the symbol, how many dots one is wide, and the rows of the token below it."""
        modules, least = draw_symbol(content.address).width, self.dots(_LEAST)
        for copies, module in _SIZES:
            side = modules * module
            text = free.width - copies * (side + self.gap)
            if copies > self.stock.copies or text < self.dots(_TEXT_WIDTH):
                continue
            for rows in _token_rows(content.token):
                wide = max(width_of(row, least, bold=True) for row in rows)
                if side + len(rows) * ceil(LINE * least) <= free.height and wide <= side - self.gap:
                    return copies, side, rows
        raise LabelRefused(
            f"job {content.figure}: on stock {self.stock.name} a module of the symbol would fall under {LEAST_DOTS} "
            f"dots at {self.stock.dpi} dpi: beside the text there is no room for an address of "
            f"{len(content.address)} characters; shorten the workshop's base address or take a larger label."
        )

    def put_symbol(self, free: Area, rows: list[str]) -> None:
        """The symbol with the token below it, together in the middle of the height."""
        side = free.width
        most = min(self.dots(_TOKEN), int((free.height - side) / len(rows) / LINE))
        fitted = [fit_text(row, side - self.gap, most, self.dots(_LEAST), bold=True) for row in rows]
        size = min(size for _, size in fitted)
        line = ceil(LINE * size)
        top = free.top + (free.height - side - len(rows) * line) // 2
        self.blocks.append(Block("symbol", free.left, top, side, side))
        for number, (text, _) in enumerate(fitted):
            self.words.append(Words("token", text, free.left, top + side + number * line, side, size))

    def put_text(self, content: LabelContent, free: Area) -> None:
        """The figures as large as the lines allow; the least important lines go when there is no room."""
        line = ceil(LINE * self.dots(_NAME)) + ceil(LINE * self.dots(_LINE))
        bar = ceil(LINE * self.dots(_NAME)) if content.demo else self.rule
        between = 2 * self.gap + bar
        lines = content.lines[: max(0, (free.height - self.dots(_LEAST_FIGURE) - between) // line)]
        room = free.height - between - len(lines) * line
        figure = min(room, self.dots(_FIGURE))
        free = free.below((room - figure) // 2)
        self.put_figure(content.figure, free._replace(height=figure))
        free = free.below(figure + self.gap)
        self.put_bar(free._replace(height=bar), demo=content.demo)
        free = free.below(bar + self.gap)
        for name, text in lines:
            self.put_line(name, text, free)
            free = free.below(line)

    def put_bar(self, area: Area, *, demo: bool) -> None:
        """The rule below the figures; in a demo it is thick and says so, in white."""
        self.blocks.append(Block("rule", *area))
        if demo:
            self.words.append(Words("demo", "DEMO", area.left, area.top, area.width, self.dots(_NAME)))

    def put_figure(self, figure: str, free: Area) -> None:
        """The emblem and the figures as high as it, or smaller figures alone when they are many."""
        most = int(free.height / FIGURE)
        beside = free.height + self.gap
        text, size = fit_text(figure, free.width - beside, most, most, bold=True)
        if size == most and text == figure:
            self.blocks.append(Block("emblem", free.left, free.top, free.height, free.height))
            free = free._replace(left=free.left + beside, width=free.width - beside)
        else:
            text, size = fit_text(figure, free.width, most, self.dots(_LEAST), bold=True)
        above = ASCENT - FIGURE_TOP
        top = free.top + (free.height - int(FIGURE * size)) // 2 - int(above * size)
        self.words.append(Words("figure", text, free.left, top, free.width, size))

    def put_line(self, name: str, text: str, free: Area) -> None:
        """A small name above its words; without words a line to write on."""
        small, large, least = (self.dots(size) for size in (_NAME, _LINE, _LEAST))
        shown, size = fit_text(name, free.width, small, least)
        self.words.append(Words("name", shown, free.left, free.top, free.width, size))
        free = free.below(ceil(LINE * small))
        if text:
            shown, size = fit_text(text, free.width, large, least, bold=True)
            self.words.append(Words("line", shown, free.left, free.top, free.width, size))
        else:
            self.blocks.append(Block("rule", free.left, free.top + large - self.rule, free.width, ceil(self.rule / 2)))


def _token_rows(token: str) -> list[list[str]]:
    """Two rows, as one would be too small to read, or a row for each group where the letters are wide."""
    groups = token.split("-")
    half = (len(groups) + 1) // 2
    halves = ["-".join(part) for part in (groups[:half], groups[half:]) if part]
    return [[f"{row}-" for row in rows[:-1]] + rows[-1:] for rows in (halves, groups)]
