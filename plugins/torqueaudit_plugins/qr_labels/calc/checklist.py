"""The list: the symbol, a headline, and entries that wrap.

It is whole or refused: whoever goes by it must not miss one.
"""

from itertools import product
from math import ceil
from typing import NamedTuple

from torqueaudit.plugin import LabelContent
from torqueaudit_plugins.qr_labels.calc.frame import TEXT_WIDTH, Area, Filling, Layout, Words
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, Stock
from torqueaudit_plugins.qr_labels.calc.tag import token_rows
from torqueaudit_plugins.qr_labels.calc.text import BOLD, LINE, fit_text, wrap_text

_LARGE, _HEADLINE, _COLUMNS = 3.2, 5.0, 3  # millimetres, and the most columns of a list
_GAIN = 1.15  # larger letters that are worth rows which wrap


class Fitted(NamedTuple):
    """Text that fits: the font's size in dots, the width of a column, and each column's paragraphs in rows."""

    size: int
    width: int
    columns: list[list[list[str]]]


class List(Filling):
    """A list being filled."""

    @property
    def hang(self) -> str:
        """What the further rows of a paragraph begin with, so that a list's boxes stand alone."""
        return " " * 6

    def filled(self) -> Layout:
        """Everything in its place. Raises LabelRefused where the symbol, or the whole list, has no room."""
        free = self.put_symbols(token_rows(self.content.token), copies=1, text_width=self.dots(TEXT_WIDTH))
        free = self.put_headline(free)
        paragraphs = [self.paragraph(number) for number in range(len(self.content.lines))]
        fitted = self.fit(paragraphs, free)
        for number, column in enumerate(fitted.columns):
            self.put_column(column, fitted, free._replace(left=free.left + number * (fitted.width + self.gap)))
        return self.done()

    def put_headline(self, free: Area) -> Area:
        """The headline above a rule."""
        text = self.shown("", self.content.figure)
        most = min(self.dots(_HEADLINE), free.height // 7)
        shown, size = fit_text(text, free.width, max(most, self.least), self.least, BOLD)
        self.words.append(Words(role="figure", text=shown, left=free.left, top=free.top, width=free.width, size=size))
        return self.put_bar(free.below(ceil(LINE * size))).below(self.gap // 2)

    def paragraph(self, number: int) -> str:
        """One line as a sentence; an open one leaves room to write in."""
        line = self.content.lines[number]
        words = self.shown(line.name, line.words, line.instead) if line.words else "_" * 10
        return f"{self.shown('a name', line.name)} {words}".strip()

    def fit(self, paragraphs: list[str], free: Area) -> Fitted:
        """The largest text that fits, in as few columns as do, in rows that wrap only where it gains by that."""
        wrapped = self._largest(paragraphs, free, wraps=True)
        if wrapped is None:
            raise LabelRefused(
                f"{self.content.title}: its {len(paragraphs)} entries do not fit on stock {self.stock.name}, and a "
                "list is printed whole; take a larger label."
            )
        straight = self._largest(paragraphs, free, wraps=False)
        return straight if straight and wrapped.size < _GAIN * straight.size else wrapped

    def _largest(self, paragraphs: list[str], free: Area, *, wraps: bool) -> Fitted | None:
        """The largest text that fits, each paragraph in one row where it may not wrap."""
        sizes = range(max(self.dots(_LARGE), self.least), self.least - 1, -1)
        for size, columns in product(sizes, range(1, _COLUMNS + 1)):
            fitted = self._in_columns(paragraphs, free, size, columns)
            if fitted and (wraps or all(len(each) == 1 for column in fitted.columns for each in column)):
                return fitted
        return None

    def _in_columns(self, paragraphs: list[str], free: Area, size: int, number: int) -> Fitted | None:
        """Whole paragraphs from column to column; None when they do not fit."""
        width = (free.width - (number - 1) * self.gap) // number
        rows, filled = free.height // ceil(LINE * size), 0
        columns: list[list[list[str]]] = [[]]
        for paragraph in paragraphs:
            wrapped = wrap_text(paragraph, width, size, BOLD, hang=self.hang)
            if wrapped is None or len(wrapped) > rows:
                return None
            if filled + len(wrapped) > rows:
                columns.append([])
                filled = 0
            columns[-1].append(wrapped)
            filled += len(wrapped)
        return Fitted(size, width, columns) if len(columns) <= number else None

    def put_column(self, column: list[list[str]], fitted: Fitted, free: Area) -> None:
        """One column of rows, with what room is left spread between the paragraphs."""
        line = ceil(LINE * fitted.size)
        rows = sum(map(len, column))
        between = min(line // 2, (free.height - rows * line) // max(1, len(column)))
        for paragraph in column:
            for row in paragraph:
                self.words.append(
                    Words(role="line", text=row, left=free.left, top=free.top, width=fitted.width, size=fitted.size)
                )
                free = free.below(line)
            free = free.below(between)


def filled_list(content: LabelContent, stock: Stock) -> Layout:
    """A list with everything in its place. Raises LabelRefused."""
    return List(content, stock).filled()
