"""From contents to checked files or prints."""

from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path
from typing import NamedTuple

from PIL import Image

from torqueaudit.plugin import LabelContent
from torqueaudit_plugins.qr_labels.calc.places import Placed, parts, place
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, Stock
from torqueaudit_plugins.qr_labels.calc.symbol import drawn, symbol_svg
from torqueaudit_plugins.qr_labels.printing.check import Expected, check_labels, pages_of_pdf
from torqueaudit_plugins.qr_labels.printing.output import hand_out, numbered, refuse_existing
from torqueaudit_plugins.qr_labels.printing.thermal import draw_label, write_png

PDF, PNG = ".pdf", ".png"
Tell = Callable[[str, int, int], object]  # what is being done, how much of it is, of how much


class Made(NamedTuple):
    """Checked labels: their files' bytes, and what was printed otherwise than asked for, in sentences."""

    files: tuple[bytes, ...]
    says: tuple[str, ...]


class Written(NamedTuple):
    """Where the labels are, and what was printed otherwise than asked for."""

    names: tuple[Path, ...]
    says: tuple[str, ...]


def make_labels(
    contents: list[LabelContent],
    stock: Stock,
    out: Path,
    *,
    start: int = 1,
    force: bool = False,
    tell: Tell = lambda *_: None,
) -> Written:
    """Write the labels to `out` (.pdf or .png), but only when each was read back. Raises LabelRefused.

    More than are set at once go to NAME-1.pdf, NAME-2.pdf and so on: all of them or none. `tell` is called as the work
    goes on.
    """
    if out.suffix not in {PDF, PNG}:
        raise LabelRefused(f"{out} is neither .pdf nor .png; give the file one of these endings.")
    placed = place(contents, stock, start)
    names = numbered(out, len(list(parts(placed, stock))))
    refuse_existing(names, force=force)
    made = checked(placed, stock, out.suffix, tell=tell)
    hand_out(made.files, names, force=force)
    return Written(tuple(names), made.says)


def make_drawing(contents: list[LabelContent], out: Path, *, force: bool = False) -> None:
    """Write the symbol alone to `out`, a .svg, when it was read back. Raises LabelRefused."""
    if len(contents) > 1:
        raise LabelRefused(f"a .svg holds one symbol and these are {len(contents)}; give one, or a .pdf.")
    refuse_existing([out], force=force)
    [content] = contents
    drawing = symbol_svg(content.address, f"QR symbol of {content.title}: {content.address}")
    picture = drawn(drawing)
    for _ in check_labels(
        [picture], [Expected(title=content.title, page=0, box=(0, 0, *picture.size), address=content.address, copies=1)]
    ):
        pass
    hand_out([drawing.encode()], [out], force=force)


def checked(placed: list[Placed], stock: Stock, suffix: str, *, tell: Tell = lambda *_: None) -> Made:
    """Make the labels and read each one back. Raises LabelRefused."""
    if suffix == PNG and placed[-1].page:
        raise LabelRefused(f"a .png holds one page and these labels need {placed[-1].page + 1}; give a .pdf instead.")
    files: list[bytes] = []
    before = 0
    for part in parts(placed, stock):
        tell("setting", before, len(placed))
        files.append(_made(part, stock, suffix))
        for done in check_labels(_pages(files[-1], suffix, stock), map(_expected, part)):
            tell("reading back", before + done, len(placed))
        before += len(part)
    return Made(tuple(files), tuple(says for label in placed for says in label.layout.says))


def title_of(contents: list[LabelContent]) -> str:
    """The title of a file or print: "Labels for job 12, job 13"."""
    return f"Labels for {', '.join(content.title for content in contents)}"


def _made(placed: list[Placed], stock: Stock, suffix: str) -> bytes:
    title = title_of([label.content for label in placed])
    if suffix == PNG and not stock.is_sheet:
        return write_png(_picture(placed[0], stock), stock)
    from torqueaudit_plugins.qr_labels.printing.sheet import (  # a thermal PNG needs none of it
        write_pictures,
        write_sheets,
    )

    if stock.is_sheet:
        pdf = write_sheets(placed, title, stock)
        return pdf if suffix == PDF else write_png(next(pages_of_pdf(pdf, stock.dpi)), stock)
    pictures = [_picture(label, stock) for label in placed]
    return write_pictures(pictures, [_aloud(label) for label in placed], title, stock)


def _picture(label: Placed, stock: Stock) -> Image.Image:
    return draw_label(label.content, label.layout, stock.shift_dots)


def _aloud(label: Placed) -> str:
    """What a screen reader says of a label that is a picture."""
    content = label.content
    words = [
        f"Label of {content.title}.",
        f"{content.figure}." if content.shape != "tag" else "",
        "DEMO." if content.demo else "",
        f"Token {content.token}." if content.token else "",
        *(f"{line.name} {line.words}{f', {line.also}' if line.also else ''}." for line in content.lines if line.words),
        f"QR symbol of {content.address}",
    ]
    return " ".join(filter(None, words))


def _pages(data: bytes, suffix: str, stock: Stock) -> Iterator[Image.Image]:
    if suffix == PDF:
        return pages_of_pdf(data, stock.dpi)
    from PIL.PngImagePlugin import PngImageFile  # by itself: `Image.open` loads four formats more

    return iter([PngImageFile(BytesIO(data))])


def _expected(label: Placed) -> Expected:
    box = (label.left, label.top, label.left + label.layout.width, label.top + label.layout.height)
    return Expected(
        title=label.content.title, page=label.page, box=box, address=label.content.address, copies=label.layout.copies
    )
