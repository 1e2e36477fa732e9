"""A test page with rulers: shows how far a printer is off on a stock, and whether it shrinks what it prints."""

from pathlib import Path

from PIL import Image, ImageDraw

from torqueaudit_plugins.qr_labels.calc.stock import MILLIMETRES_PER_INCH, LabelRefused, Stock
from torqueaudit_plugins.qr_labels.calc.text import PLAIN, font
from torqueaudit_plugins.qr_labels.printing.output import hand_out, refuse_existing
from torqueaudit_plugins.qr_labels.printing.sheet import write_pictures

_LONG, _SHORT, _LETTERS = 3.0, 1.5, 2.2  # millimetres
_FIVE = 5  # millimetres between long strokes
_LONGEST = 100  # millimetres of the ruler that is measured


def make_test_page(stock: Stock, out: Path, *, force: bool = False) -> None:
    """Write the page of a stock as PDF. Raises LabelRefused."""
    if out.suffix != ".pdf":
        raise LabelRefused(f"{out} is no .pdf, and only that keeps its size; give the file this ending.")
    refuse_existing([out], force=force)
    says = f"Test page for {stock.says}: a frame for each label, and rulers in millimetres."
    page = write_pictures([draw_test_page(stock)], [says], f"Test page for {stock.name}", stock)
    hand_out([page], [out], force=force)


def draw_test_page(stock: Stock) -> Image.Image:
    """Draw the frames of all labels, rulers from the corner of one, and the longest ruler that the page holds."""
    picture = Image.new("1", (stock.dots(stock.page_mm[0]), stock.dots(stock.page_mm[1])), 1)
    draw = ImageDraw.Draw(picture)
    draw.fontmode = "1"
    width, height = (stock.dots(size) for size in stock.label_mm)
    for position in range(stock.per_page):
        left, top = stock.origin(position)
        draw.rectangle((left, top, left + width - 1, top + height - 1), outline=0)
    # Of a sheet's second row, for no printer reaches the paper's edge.
    corner = stock.origin(stock.columns + min(1, stock.columns - 1) if stock.rows > 1 else 0)
    _ruler(draw, stock, corner, stock.label_mm[0], across=True)
    _ruler(draw, stock, corner, stock.label_mm[1], across=False)
    if stock.is_sheet:
        middle = (stock.dots(stock.page_mm[0] / 2 - _LONGEST / 2), stock.dots(stock.page_mm[1] / 2))
        _ruler(draw, stock, middle, _LONGEST, across=True)
        _say(
            draw, stock, middle, f"{stock.name}: this ruler is {_LONGEST} mm long, unless the printer shrinks the page"
        )
    return picture


def _ruler(
    draw: ImageDraw.ImageDraw, stock: Stock, start: tuple[int, int], millimetres: float, *, across: bool
) -> None:
    """A stroke at each millimetre, to the right or down, a long one with its number at every fifth."""
    for number in range(int(millimetres) + 1):
        along = round(number * stock.dpi / MILLIMETRES_PER_INCH)
        long = stock.dots(_SHORT if number % _FIVE else _LONG)
        x, y = (start[0] + along, start[1]) if across else (start[0], start[1] + along)
        draw.line((x, y, x, y + long) if across else (x, y, x + long, y), fill=0)
        if number and number % _FIVE == 0:
            at = (x, y + long) if across else (x + long, y)
            draw.text(at, str(number), fill=0, font=font(stock.dots(_LETTERS), PLAIN), anchor="mt" if across else "lm")


def _say(draw: ImageDraw.ImageDraw, stock: Stock, start: tuple[int, int], text: str) -> None:
    at = (start[0], start[1] - stock.dots(_SHORT))
    draw.text(at, text, fill=0, font=font(stock.dots(_LETTERS * 1.2), PLAIN), anchor="ls")
