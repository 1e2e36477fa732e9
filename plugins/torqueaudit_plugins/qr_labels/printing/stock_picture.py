"""What each stock looks like: its page with the outline of every label, and an invented label at the first place."""

from io import BytesIO
from pathlib import Path

from PIL import Image, ImageDraw

from torqueaudit.plugin import HEAD_LINE, MAIN_LINE, LabelContent, LabelLine
from torqueaudit.plugin.commands import make_folder, write_all
from torqueaudit_plugins.qr_labels.calc.layout import lay_out
from torqueaudit_plugins.qr_labels.calc.stock import MILLIMETRES_PER_INCH, LabelRefused, Stock
from torqueaudit_plugins.qr_labels.printing.thermal import draw_label

_DOTS_PER_MM, _AROUND, _PAPER, _DESK = 8, 24, 255, 205  # of the picture: resolution, rim, and two greys
_EXAMPLE = LabelContent(
    title="an example",
    address="http://yard.local/r/acdefhjkmnprtvwxy23",
    figure="12",
    token="acdef-hjkmn-prtvw-xy23",
    lines=(
        LabelLine("Vehicle", "bike-3", rank=HEAD_LINE),
        LabelLine("Re-check by or at", "2031-04-16", also="12800 km", rank=MAIN_LINE),
    ),
    demo=True,
)


def draw_pictures(stocks: list[Stock], folder: Path) -> None:
    """Draw each stock into NAME.png. Raises LabelRefused when the folder cannot be written."""
    try:
        make_folder(folder)
        write_all({folder / f"{stock.name}.png": _png(stock) for stock in stocks})
    except OSError as error:
        raise LabelRefused(f"{folder} cannot be written: {error.strerror}; choose another folder.") from error


def _png(stock: Stock) -> bytes:
    file = BytesIO()
    draw_stock(stock).save(file, "PNG", optimize=True)
    return file.getvalue()


def draw_stock(stock: Stock) -> Image.Image:
    """Draw one stock, greyscale, 8 dots a millimetre."""
    page = Image.new("L", _size(stock.page_mm), _PAPER)
    draw, label = ImageDraw.Draw(page), _size(stock.label_mm)
    for position in range(stock.per_page):
        left, top = (round(dots * _DOTS_PER_MM * MILLIMETRES_PER_INCH / stock.dpi) for dots in stock.origin(position))
        draw.rounded_rectangle(
            (left, top, left + label[0] - 1, top + label[1] - 1), _DOTS_PER_MM, outline=_DESK, width=2
        )
        if position == 0:
            drawn = draw_label(_EXAMPLE, lay_out(_EXAMPLE, stock)).convert("L").resize(label, Image.Resampling.BOX)
            page.paste(drawn, (left, top))
            draw.rounded_rectangle(
                (left, top, left + label[0] - 1, top + label[1] - 1), _DOTS_PER_MM, outline=0, width=2
            )
    whole = Image.new("L", (page.width + 2 * _AROUND, page.height + 2 * _AROUND), _DESK)
    whole.paste(page, (_AROUND, _AROUND))
    return whole


def _size(millimetres: tuple[float, float]) -> tuple[int, int]:
    return round(millimetres[0] * _DOTS_PER_MM), round(millimetres[1] * _DOTS_PER_MM)
