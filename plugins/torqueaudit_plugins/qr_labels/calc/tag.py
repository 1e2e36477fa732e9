"""The tag: the symbol with its token, then large figures, then lines of a small name and large words.

A second copy of the symbol stands at the other end where there is room: what soils one may spare the other.
"""

from collections.abc import Iterator
from itertools import product
from math import ceil
from typing import NamedTuple

from torqueaudit.plugin import HEAD_LINE, LabelContent, LabelLine
from torqueaudit_plugins.qr_labels.calc.frame import TEXT_WIDTH, Area, Block, Filling, Layout, Words
from torqueaudit_plugins.qr_labels.calc.heights import Sizes, sizes_for
from torqueaudit_plugins.qr_labels.calc.stock import ACROSS, BELOW, LabelRefused, Stock
from torqueaudit_plugins.qr_labels.calc.text import (
    ASCENT,
    BOLD,
    ELLIPSIS,
    FACES,
    FIGURE,
    FIGURE_TOP,
    LINE,
    NARROW,
    PLAIN,
    fit_face,
    fit_text,
    printable,
    width_of,
    wrap_text,
)

_FIGURE = 11.0  # millimetres
_SPACE = 0.4  # of the font size, between a name and the words beside it
_LINE_LOST, _MAIN = (
    1000,
    10,
)  # a line left out weighs more than letters that are cut, and one of the main lines ten times as much


class Arranged(NamedTuple):
    """One way to set a tag: its letters, rows across the top for the first line, and the token beside the symbol."""

    sizes: Sizes
    head: int = 0
    aside: bool = False


def best_tag(content: LabelContent, stock: Stock) -> Layout:
    """The first arrangement that loses nothing, else the one that loses least; none has a lesser symbol than the first.

    Raises LabelRefused where the symbol has no room.
    """
    plainest: Tag | None = None
    tags = []
    for arranged in _arrangements(content, stock):
        tag = Tag(content, stock, arranged)
        try:
            tag.fill()
        except LabelRefused:
            if plainest is None:
                raise
            continue
        plainest = plainest or tag
        if tag.printed >= plainest.printed:
            tags.append(tag)
        if tags[-1:] == [tag] and not tag.lost:
            break
    return min(tags, key=lambda tag: tag.lost).done()


def _arrangements(content: LabelContent, stock: Stock) -> Iterator[Arranged]:
    heads = (0, 1, 2) if content.lines[:1] and content.lines[0].rank == HEAD_LINE else (0,)
    asides = (False, True) if content.token and stock.token == BELOW else (False,)
    yield from (Arranged(*each) for each in product(sizes_for(stock), heads, asides))


class Tag(Filling):
    """A tag being filled; `lost` weighs what had no room."""

    def __init__(self, content: LabelContent, stock: Stock, arranged: Arranged) -> None:
        super().__init__(content, stock)
        self.sizes, self.head = arranged.sizes, arranged.head
        self.aside = self.aside or arranged.aside
        self.beside = self.gap // 2  # four modules of white are the symbol's own
        self.across = 0  # the width of the lines
        self.lines = content.lines
        self.large = 0  # of the words of a line, in dots
        self.lost = 0

    def fill(self) -> None:
        """Put everything in its place. Raises LabelRefused where the symbol has no room."""
        rows = token_rows(self.content.token)
        if rows and self.stock.token == ACROSS and self.put_token_across():
            rows = []
        if self.head:
            self.put_head()
        self.put_text(self.put_symbols(rows, copies=2, text_width=max(self.dots(TEXT_WIDTH), self.sizes.text)))

    def put_head(self) -> None:
        """The words of the first line across the top, without their name, in as many rows as are given."""
        first, self.lines = self.lines[0], self.lines[1:]
        size = self.sizes.lines[0]
        text, free = self.shown(first.name, first.words, first.instead), self.free
        wrapped = (wrap_text(text, free.width, size, face) for face in FACES)
        whole = next(
            ((face, rows) for face, rows in zip(FACES, wrapped, strict=True) if rows and len(rows) <= self.head), None
        )
        face, rows = whole or (NARROW, self.cut_rows(first, text, size))
        for row in rows:
            self.words.append(
                Words(role="line", text=row, left=free.left, top=free.top, width=free.width, size=size, face=face)
            )
            free = free.below(ceil(LINE * size))
        self.free = free

    def cut_rows(self, line: LabelLine, text: str, size: int) -> list[str]:
        """As many rows of the narrowest letters as are given, the last one cut; said."""
        wrapped = wrap_text(text, self.free.width, size, NARROW)
        rows = wrapped[: self.head - 1] if wrapped else []
        rest = " ".join(wrapped[self.head - 1 :]) if wrapped else text
        return [*rows, self.cut(line, rest, *fit_face(rest, self.free.width, size))[0]]

    def cut(self, line: LabelLine, text: str, shown: str, face: str) -> tuple[str, str]:
        """Say it where words are not whole."""
        if shown != text:
            self.lost += (_MAIN * _LINE_LOST if line.rank else 0) + len(text) - len(shown.removesuffix(ELLIPSIS))
            self.says.append(
                f"{self.content.title}: {line.name or text} is cut on stock {self.stock.name}, to “{shown}”"
            )
        return shown, face

    def put_text(self, free: Area) -> None:
        """The figures as large as the lines allow; the least important lines go when there is no room."""
        gap = self.gap // 2 if self.sizes.tight else self.gap
        between, self.across = 2 * gap + self.bar, free.width
        lines, self.large = self.most_lines(free.height - self.sizes.figure - between)
        room = free.height - between - sum(self.line_height(line, self.large) for line in lines)
        above = min(self.gap // 2, max(0, room - self.sizes.figure)) if self.head else 0
        figure = min(room - above, self.dots(_FIGURE))
        free = free.below(above + (room - above - figure) // 2)
        self.put_figure(self.shown("", self.content.figure), free._replace(height=figure))
        free = free.below(figure + gap)
        free = self.put_bar(free).below(gap)
        self.say_lost(lines)
        for each in lines:
            self.put_line(each, free)
            free = free.below(self.line_height(each, self.large))

    def say_lost(self, lines: list[LabelLine]) -> None:
        """Name what is left out."""
        shorter = [line for line, kept in zip(self.lines, lines, strict=False) if kept != line]
        gone = self.lines[len(lines) :]
        lost = [*(f"{each.name} {each.also}" for each in shorter), *(each.name or each.words for each in gone)]
        self.lost += sum(_LINE_LOST * (_MAIN if each.rank else 1) for each in (*shorter, *gone))
        if lost:
            self.says.append(f"{self.content.title}: left out on stock {self.stock.name}: {', '.join(lost)}")

    def most_lines(self, height: int) -> tuple[list[LabelLine], int]:
        """The lines that have room, and the largest size of their words at which most of them do."""
        found = [(self.lines_in(height, size), size) for size in self.sizes.lines]
        return max(found, key=lambda each: sum(1 + bool(line.also) for line in each[0]))

    def lines_in(self, height: int, large: int) -> list[LabelLine]:
        """The first lines that have room; the last one without its further words where these have none."""
        kept: list[LabelLine] = []
        for line in self.lines:
            left = height - sum(self.line_height(each, large) for each in kept)
            shorter = (each for each in (line, line._replace(also="")) if self.line_height(each, large) <= left)
            fits = next(shorter, None)
            if fits is None:
                break
            kept.append(fits)
            if fits != line:
                break
        return kept

    def size_of(self, line: LabelLine, large: int) -> int:
        """Of a line's words: as its name's where room is short and the line is none of the main ones."""
        return self.sizes.name if self.sizes.tight and not line.rank else large

    def before(self, line: LabelLine, large: int) -> int:
        """How wide the name is that stands before its small words, in one row; 0 where it stands above them."""
        size = self.size_of(line, large)
        if size == large or line.also or not line.words:
            return 0
        name = ceil(width_of(printable(line.name), size, PLAIN) + _SPACE * size)
        return name if name + width_of(printable(line.words), size, BOLD) <= self.across else 0

    def line_height(self, line: LabelLine, large: int) -> int:
        """The height of a name and of its words, in dots."""
        rows = 1 + bool(line.also) if not self.before(line, large) else 0
        return ceil(LINE * self.sizes.name) + rows * ceil(LINE * self.size_of(line, large))

    def put_figure(self, figure: str, free: Area) -> None:
        """The emblem and the figures as high as it, or smaller figures alone when they are many."""
        most = int(free.height / FIGURE)
        beside = free.height + self.gap
        text, size = fit_text(figure, free.width - beside, most, most, BOLD)
        if size == most and text == figure:
            self.blocks.append(
                Block(role="emblem", left=free.left, top=free.top, width=free.height, height=free.height)
            )
            free = free._replace(left=free.left + beside, width=free.width - beside)
        else:
            text, size = fit_text(figure, free.width, most, min(most, self.sizes.name), BOLD)
        above = ASCENT - FIGURE_TOP
        top = free.top + (free.height - int(FIGURE * size)) // 2 - int(above * size)
        self.words.append(Words(role="figure", text=text, left=free.left, top=top, width=free.width, size=size))

    def put_line(self, line: LabelLine, free: Area) -> None:
        """A small name above its words, or before them; without words a line to write on."""
        size, row = self.sizes.name, ceil(LINE * self.size_of(line, self.large))
        before = self.before(line, self.large)
        width = before or free.width
        name, face = fit_face(self.shown("a name", line.name), width, size, (PLAIN, NARROW))
        self.words.append(
            Words(role="name", text=name, left=free.left, top=free.top, width=width, size=size, face=face)
        )
        if before:
            free = free._replace(left=free.left + before, width=free.width - before)
        else:
            free = free.below(ceil(LINE * size))
        if line.words:
            self.put_words(line, self.shown(line.name, line.words, line.instead), free)
        else:
            self.put_open(free._replace(height=row))
        if line.also:
            self.put_words(line, self.shown(line.name, line.also), free.below(row))

    def put_words(self, line: LabelLine, text: str, free: Area) -> None:
        """Words of a line, smaller where they are long and may be, then narrower, then cut."""
        large = self.size_of(line, self.large)
        least = self.least if self.sizes.shrinks else large if line.rank else self.sizes.name
        shown, size = fit_text(text, free.width, large, min(least, large), BOLD)
        face = BOLD
        if shown != text:
            size = min(least, large)
            shown, face = self.cut(line, text, *fit_face(text, free.width, size))
        self.words.append(
            Words(role="line", text=shown, left=free.left, top=free.top, width=free.width, size=size, face=face)
        )

    def put_open(self, free: Area) -> None:
        """A line to write on, in an area as high as a row."""
        top, height = free.top + int(free.height / LINE) - self.rule, ceil(self.rule / 2)
        self.blocks.append(Block(role="rule", left=free.left, top=top, width=free.width, height=height))


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
