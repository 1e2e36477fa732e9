"""How high the letters of a label are, in whole printer dots.

A label of 50 x 30 mm or more is read at arm's length, a smaller one is held closer.
"""

from collections.abc import Iterator
from math import ceil
from typing import NamedTuple

from torqueaudit_plugins.qr_labels.calc.stock import MILLIMETRES_PER_INCH, Stock
from torqueaudit_plugins.qr_labels.calc.text import CAPITAL, NARROW, width_of

# Millimetres. The first three are heights of capitals: what a tag is read for, its small names, a card's sentences.
LARGE, CAPTION, SENTENCE = 3.0, 1.8, 2.5
_ARMS_LENGTH = (50, 30)
_WIDEST_DAY = "2000-00-00"  # all digits are of one width

# Millimetres of the font where a label is held closer: smaller only where one more line finds room.
_CLOSE_LINES, _CLOSE_NAME, _LEAST_FIGURE = (3.0, 2.6, 2.2), 1.8, 3.0


class Sizes(NamedTuple):
    """How a tag's text is set, all in dots."""

    lines: tuple[int, ...]  # of the words of a line, the first that leaves room for most
    name: int
    figure: int  # least height of the large figures
    text: int  # least width of the text beside the symbol
    tight: bool = False  # less white around the figures, and lines that are not the main ones are small
    shrinks: bool = False  # long words are set smaller, before they are cut


def at_arms_length(stock: Stock) -> bool:
    """Whether a stock's labels are large enough to be read at arm's length."""
    return all(size >= least for size, least in zip(stock.label_mm, _ARMS_LENGTH, strict=True))


def capitals(millimetres: float, dpi: int) -> int:
    """The size of a font, in dots, whose capitals are so high at least."""
    return ceil(_dots(millimetres, dpi) / CAPITAL - 1e-9)


def sizes_for(stock: Stock) -> Iterator[Sizes]:
    """How a tag may be set, the best first; the smaller letters of labels held closer only where they are."""
    large, name = capitals(LARGE, stock.dpi), capitals(CAPTION, stock.dpi)
    text = ceil(width_of(_WIDEST_DAY, large, NARROW))
    yield Sizes((large,), name, ceil(_dots(_LEAST_FIGURE, stock.dpi)), text)
    yield Sizes((large,), name, ceil(_dots(CAPTION, stock.dpi)), text, tight=True)
    if not at_arms_length(stock):
        lines = tuple(ceil(_dots(size, stock.dpi)) for size in _CLOSE_LINES)
        name, figure = (ceil(_dots(size, stock.dpi)) for size in (_CLOSE_NAME, _LEAST_FIGURE))
        yield Sizes(lines, name, figure, 0, shrinks=True)
        yield Sizes(lines, name, name, 0, tight=True, shrinks=True)


def _dots(millimetres: float, dpi: int) -> float:
    return millimetres * dpi / MILLIMETRES_PER_INCH
