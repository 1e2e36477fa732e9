"""From contents to one checked file."""

from io import BytesIO
from pathlib import Path

from PIL import Image

from torqueaudit.model.label import LabelContent
from torqueaudit_plugins.qr_labels.check import Expected, check_labels, hand_out, pages_of_pdf, refuse_existing
from torqueaudit_plugins.qr_labels.sheet import Placed, place, write_sheets
from torqueaudit_plugins.qr_labels.stock import LabelRefused, Stock
from torqueaudit_plugins.qr_labels.thermal import draw_label, write_pdf, write_png


def make_labels(contents: list[LabelContent], stock: Stock, out: Path, *, start: int = 1, force: bool = False) -> None:
    """Write the labels to `out` (.pdf or .png), but only when each was read back. Raises LabelRefused."""
    if out.suffix not in {".pdf", ".png"}:
        raise LabelRefused(f"{out} is neither .pdf nor .png; give the file one of these endings.")
    refuse_existing(out, force=force)
    placed = place(contents, stock, start)
    if out.suffix == ".png" and placed[-1].page:
        raise LabelRefused(f"a .png holds one page and these labels need {placed[-1].page + 1}; give a .pdf instead.")
    title = f"Labels for job {', '.join(content.figure for content in contents)}"
    data = _sheets(placed, title, stock, out.suffix) if stock.is_sheet else _roll(contents, title, stock, out.suffix)
    check_labels(_pages(data, out.suffix, stock), [_expected(label) for label in placed])
    hand_out(data, out, force=force)


def _sheets(placed: list[Placed], title: str, stock: Stock, suffix: str) -> bytes:
    pdf = write_sheets(placed, title, stock)
    return pdf if suffix == ".pdf" else write_png(pages_of_pdf(pdf, stock.dpi)[0], stock)


def _roll(contents: list[LabelContent], title: str, stock: Stock, suffix: str) -> bytes:
    pictures = [draw_label(content, stock) for content in contents]
    return write_pdf(pictures, title, stock) if suffix == ".pdf" else write_png(pictures[0], stock)


def _pages(data: bytes, suffix: str, stock: Stock) -> list[Image.Image]:
    return pages_of_pdf(data, stock.dpi) if suffix == ".pdf" else [Image.open(BytesIO(data))]


def _expected(label: Placed) -> Expected:
    box = (label.left, label.top, label.left + label.layout.width, label.top + label.layout.height)
    return Expected(label.figure, label.page, box, label.address, label.layout.copies)
