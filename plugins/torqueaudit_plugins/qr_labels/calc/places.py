"""Labels at their places on the pages of a stock."""

from collections.abc import Iterator
from itertools import groupby
from typing import NamedTuple

from torqueaudit.plugin import LabelContent
from torqueaudit_plugins.qr_labels.calc.frame import Layout
from torqueaudit_plugins.qr_labels.calc.layout import lay_out
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, Stock

# Labels set at once: 2000 take 184 MB so, and a tagged file cannot be joined to another (decision 0037).
MOST_IN_FILE = 168


class Placed(NamedTuple):
    """One label at its place: page from 0, left and top on it in dots."""

    number: int
    page: int
    left: int
    top: int
    content: LabelContent
    layout: Layout


def place(contents: list[LabelContent], stock: Stock, start: int = 1) -> list[Placed]:
    """Give every label its place, the first at position `start` (from 1) of a sheet that may be partly used."""
    if not 1 <= start <= stock.per_page:
        raise LabelRefused(f"stock {stock.name} has positions 1 to {stock.per_page}; there is no position {start}.")
    placed = []
    for number, content in enumerate(contents):
        page, position = divmod(start - 1 + number, stock.per_page)
        left, top = stock.origin(position)
        placed.append(
            Placed(number=number, page=page, left=left, top=top, content=content, layout=lay_out(content, stock))
        )
    return placed


def parts(placed: list[Placed], stock: Stock) -> Iterator[list[Placed]]:
    """Whole pages of so many labels as are set at once; each part has pages of its own from 0."""
    most = max(1, MOST_IN_FILE // stock.per_page)
    for _, labels in groupby(placed, lambda label: label.page // most):
        yield [label._replace(page=label.page % most) for label in labels]
