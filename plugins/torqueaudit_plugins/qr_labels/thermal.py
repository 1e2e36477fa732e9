"""One label as black and white dots, the way a thermal printer burns it: as PNG, or as a PDF page of its size."""

from io import BytesIO

from PIL import Image, ImageDraw

from torqueaudit.model.label import LabelContent
from torqueaudit_plugins.qr_labels.emblem import draw_emblem
from torqueaudit_plugins.qr_labels.layout import Words, lay_out
from torqueaudit_plugins.qr_labels.stock import Stock
from torqueaudit_plugins.qr_labels.symbol import draw_symbol
from torqueaudit_plugins.qr_labels.text import ASCENT, font


def draw_label(content: LabelContent, stock: Stock) -> Image.Image:
    """Draw one label, 1 bit per dot. Raises LabelRefused when the symbol would be too small."""
    layout = lay_out(content, stock)
    picture = Image.new("1", (layout.width, layout.height), 1)
    draw = ImageDraw.Draw(picture)
    for block in layout.blocks:
        corner, size = (block.left, block.top), (block.width, block.height)
        if block.role == "symbol":
            picture.paste(draw_symbol(content.address).resize(size, Image.Resampling.NEAREST), corner)
        elif block.role == "emblem":
            picture.paste(draw_emblem(block.width), corner)
        else:
            picture.paste(0, (*corner, block.left + block.width, block.top + block.height))
    for words in layout.words:
        _draw_words(draw, words)
    return picture


def write_png(picture: Image.Image, stock: Stock) -> bytes:
    """Write one picture with its true size."""
    target = BytesIO()
    picture.save(target, "PNG", dpi=(stock.dpi, stock.dpi), optimize=True)
    return target.getvalue()


def write_pdf(pictures: list[Image.Image], title: str, stock: Stock) -> bytes:
    """Write one page a label, dot for dot. The time of making is left out, so that equal labels are equal files."""
    target = BytesIO()
    pictures[0].save(
        target,
        "PDF",
        save_all=True,
        append_images=pictures[1:],
        resolution=stock.dpi,
        title=title,
        creationDate=None,
        modDate=None,
    )
    return target.getvalue()


def _draw_words(draw: ImageDraw.ImageDraw, words: Words) -> None:
    """Draw one line without grey: a thermal head knows none."""
    draw.fontmode = "1"
    left = words.left + (words.width // 2 if words.centred else 0)
    anchor = "ms" if words.centred else "ls"
    baseline = words.top + round(ASCENT * words.size)
    fill = 1 if words.role == "demo" else 0
    draw.text((left, baseline), words.text, fill=fill, font=font(words.size, bold=words.bold), anchor=anchor)
