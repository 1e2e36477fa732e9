"""Sheets of labels as a tagged PDF. Nothing is fetched: fonts and pictures are handed to the renderer by name."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import resources
from io import BytesIO
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.label import LabelContent
from torqueaudit.typesetting import Handed, NotSet, set_page
from torqueaudit_plugins.qr_labels.emblem import draw_emblem
from torqueaudit_plugins.qr_labels.layout import Layout, lay_out
from torqueaudit_plugins.qr_labels.stock import LabelRefused, Stock
from torqueaudit_plugins.qr_labels.symbol import draw_symbol
from torqueaudit_plugins.qr_labels.text import font_bytes

if TYPE_CHECKING:
    from PIL import Image


class Placed(NamedTuple):
    """One label at its place: page from 0, left and top on it in dots."""

    number: int
    page: int
    left: int
    top: int
    address: str
    figure: str
    layout: Layout


def place(contents: list[LabelContent], stock: Stock, start: int = 1) -> list[Placed]:
    """Give every label its place, the first at position `start` (from 1) of a sheet that may be partly used."""
    if not 1 <= start <= stock.per_page:
        raise LabelRefused(f"stock {stock.name} has positions 1 to {stock.per_page}; there is no position {start}.")
    placed = []
    for number, content in enumerate(contents):
        page, position = divmod(start - 1 + number, stock.per_page)
        left, top = stock.origin(position)
        placed.append(Placed(number, page, left, top, content.address, content.figure, lay_out(content, stock)))
    return placed


def write_sheets(placed: list[Placed], title: str, stock: Stock) -> bytes:
    """Render PDF/UA-1. The same labels give the same bytes. Raises LabelRefused when rendering reports anything."""

    def hand(name: str) -> Handed | None:
        kind, _, which = name.partition("/")
        if kind == "font":
            return Handed(font_bytes(bold=which == "bold"), "font/ttf")
        if kind not in {"emblem", "symbol"}:
            return None
        picture = draw_emblem(int(which)) if kind == "emblem" else draw_symbol(placed[int(which)].address)
        return Handed(_png(picture), "image/png")

    try:
        with _without_garbage_collection():
            return set_page(_html(placed, title, stock), "label", hand)
    except NotSet as error:
        raise LabelRefused(f"the sheet was not written: {error}. A roll stock needs none of this.") from error


def _html(placed: list[Placed], title: str, stock: Stock) -> str:
    from jinja2 import Environment, PackageLoader, StrictUndefined  # only for sheets

    templates = Environment(
        loader=PackageLoader("torqueaudit_labels", "templates"), autoescape=True, undefined=StrictUndefined
    )
    templates.filters["inch"] = lambda dots: f"{dots / stock.dpi:.5f}in"
    style = (resources.files("torqueaudit_labels") / "templates" / "sheet.css").read_text(encoding="utf-8")
    pages = [[label for label in placed if label.page == page] for page in range(placed[-1].page + 1)]
    return templates.get_template("sheet.html.jinja").render(
        title=title, style=style, pages=pages, page_mm=stock.page_mm
    )


def _png(picture: "Image.Image") -> bytes:
    target = BytesIO()
    picture.save(target, "PNG")
    return target.getvalue()


@contextmanager
def _without_garbage_collection() -> Iterator[None]:
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
