"""Labels at their places on pages, as a tagged PDF whose text can be found: sheets, and rolls as pictures of dots.

Nothing is fetched: fonts and pictures are handed to the renderer by name.
Few blocks make a label quick to set: decision 0038.
"""

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from importlib import resources
from io import BytesIO
from itertools import groupby
from typing import NamedTuple

from PIL import Image

from torqueaudit.plugin.commands import Handed, NotSet, set_page
from torqueaudit_plugins.qr_labels.calc.emblem import draw_emblem
from torqueaudit_plugins.qr_labels.calc.frame import Words
from torqueaudit_plugins.qr_labels.calc.places import Placed
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, Stock
from torqueaudit_plugins.qr_labels.calc.symbol import draw_symbols
from torqueaudit_plugins.qr_labels.calc.text import font_bytes

_POINTS_PER_INCH = 72


class Row(NamedTuple):
    """One line of a paragraph. `place` names its type where that differs from the type of the paragraph."""

    text: str
    place: str = ""


class Mark(NamedTuple):
    """What is drawn: a paragraph; or a picture by name, decoration when it says nothing; or else a black rectangle."""

    role: str
    place: str
    rows: tuple[Row, ...] = ()
    picture: str = ""
    says: str = ""

    @property
    def tag(self) -> str:
        """How a screen reader takes the words."""
        return "h1" if self.role == "figure" else "p"


class Marked(NamedTuple):
    """One label, or one page that is a picture."""

    place: str
    marks: list[Mark]


class Places:
    """The places of one file: each is a rule of the style sheet with a name."""

    def __init__(self, dpi: int) -> None:
        self.names: dict[str, str] = {}
        self._point = _POINTS_PER_INCH / dpi

    def length(self, dots: int) -> str:
        """Points, not inches: the renderer would write an inch's many digits into the file."""
        return f"{dots * self._point:.5g}pt"

    def at(self, left: int, top: int, width: int, **more: int) -> str:
        """The name of a place in dots."""
        return self._named({"left": left, "top": top, "width": width, **more})

    def row(self, words: Words, first: Words) -> Row:
        """One line of the paragraph that begins with `first`."""
        alike = (words.size, words.role, words.face) == (first.size, first.role, first.face)
        return Row(words.text, "" if alike else f"{words.role} {words.face} {self._named(_type_of(words))}")

    def _named(self, lengths: dict[str, int]) -> str:
        rule = ";".join(f"{name.replace('_', '-')}:{self.length(dots)}" for name, dots in lengths.items())
        return self.names.setdefault(rule, f"at{len(self.names)}")


def write_sheets(placed: list[Placed], title: str, stock: Stock) -> bytes:
    """Write PDF/UA-1. The same labels give the same bytes. Raises LabelRefused when the renderer reports anything."""
    places = Places(stock.dpi)
    labels = {label.number: label for label in placed}
    pages = [[_marked(label, places) for label in each] for _, each in groupby(placed, lambda label: label.page)]

    def picture(kind: str, which: int) -> Image.Image:
        return draw_emblem(which) if kind == "emblem" else _draw(labels[which])

    size = (stock.dots(stock.page_mm[0]), stock.dots(stock.page_mm[1]))
    return _set(title, size, places, pages, picture)


def write_pictures(pictures: list[Image.Image], says: list[str], title: str, stock: Stock) -> bytes:
    """Write one page for each picture of one size, dot for dot; `says` are their alternative texts."""
    places, (width, height) = Places(stock.dpi), pictures[0].size
    place = places.at(0, 0, width, height=height)
    pages = [
        [Marked(place, [Mark("picture", place, picture=f"picture/{number}", says=words)])]
        for number, words in enumerate(says)
    ]
    return _set(title, (width, height), places, pages, lambda _, which: pictures[which].convert("L"))


def _marked(label: Placed, places: Places) -> Marked:
    """What is drawn of a label, as it is read aloud."""
    layout = label.layout
    marks = [_symbols(label, places)]
    for block in layout.blocks:
        place = places.at(block.left, block.top, block.width, height=block.height)
        if block.role == "emblem":
            marks.append(Mark(block.role, place, picture=f"emblem/{block.width}"))
        elif block.role == "rule":
            marks.append(Mark(block.role, place))
    marks += [_paragraph(words, places) for words in _together(layout.words)]
    return Marked(places.at(label.left, label.top, layout.width, height=layout.height), marks)


def _symbols(label: Placed, places: Places) -> Mark:
    """All copies of the symbol as one picture, which is set as fast as a single copy."""
    first, last = label.layout.symbols[0], label.layout.symbols[-1]
    place = places.at(first.left, first.top, last.left + last.width - first.left, height=first.height)
    says = f"QR symbol of {label.content.title}: {label.content.address}"
    return Mark("symbol", place, picture=f"symbol/{label.number}", says=says)


def _draw(label: Placed) -> Image.Image:
    first, last = label.layout.symbols[0], label.layout.symbols[-1]
    return draw_symbols(label.content.address, label.layout.level, (last.left - first.left) / first.width)


def _paragraph(words: list[Words], places: Places) -> Mark:
    first = words[0]
    place = places.at(first.left, first.top, first.width, **_type_of(first))
    return Mark(first.role, f"{first.face} {place}", tuple(places.row(each, first) for each in words))


def _type_of(words: Words) -> dict[str, int]:
    """Lengths that make type stand where it was laid out."""
    return {"font_size": words.size, "line_height": words.height}


def _together(words: tuple[Words, ...]) -> Iterator[list[Words]]:
    """The figure, then paragraphs of rows that stand below each other, as a paragraph takes longer than a row."""
    rows: list[Words] = []
    for each in sorted((each for each in words if each.text), key=lambda each: each.role != "figure"):
        # A paragraph's rows are as high as its first one at least.
        if rows and not (each.follows(rows[-1]) and each.height >= rows[0].height):
            yield rows
            rows = []
        rows.append(each)
    if rows:
        yield rows


def _set(
    title: str,
    size: tuple[int, int],
    places: Places,
    pages: list[list[Marked]],
    picture: Callable[[str, int], Image.Image],
) -> bytes:
    def hand(name: str) -> Handed | None:
        kind, _, which = name.partition("/")
        if kind == "font":
            return Handed(font_bytes(which), "font/ttf")
        return Handed(_png(picture(kind, int(which))), "image/png")

    page = {"width": places.length(size[0]), "height": places.length(size[1])}
    try:
        with _without_garbage_collection():
            return set_page(_html(title=title, page=page, places=places.names, pages=pages), "label", hand)
    except NotSet as error:
        raise LabelRefused(f"the PDF was not written: {error}. A thermal label as .png needs none of this.") from error


def _html(**what: object) -> str:
    from jinja2 import Environment, PackageLoader, StrictUndefined  # a thermal PNG needs none of it

    templates = Environment(
        loader=PackageLoader("torqueaudit_labels", "templates"), autoescape=True, undefined=StrictUndefined
    )
    style = (resources.files("torqueaudit_labels") / "templates" / "sheet.css").read_text(encoding="utf-8")
    return templates.get_template("sheet.html.jinja").render(style=style, **what)


def _png(picture: Image.Image) -> bytes:
    target = BytesIO()
    picture.save(target, "PNG", compress_level=1)  # the renderer packs it again
    return target.getvalue()


@contextmanager
def _without_garbage_collection() -> Iterator[None]:
    """Look for garbage once, when all of it is there."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        gc.collect(0)
        if was_on:
            gc.enable()
