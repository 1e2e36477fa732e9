"""One label as black and white dots, the way a thermal printer burns it."""

from struct import pack
from zlib import compress, crc32

from PIL import Image, ImageDraw

from torqueaudit.plugin import LabelContent
from torqueaudit_plugins.qr_labels.calc.emblem import draw_emblem
from torqueaudit_plugins.qr_labels.calc.frame import Layout, Words
from torqueaudit_plugins.qr_labels.calc.stock import MILLIMETRES_PER_INCH, Stock
from torqueaudit_plugins.qr_labels.calc.symbol import draw_symbol
from torqueaudit_plugins.qr_labels.calc.text import ASCENT, font


def draw_label(content: LabelContent, layout: Layout, shift: tuple[int, int] = (0, 0)) -> Image.Image:
    """Draw one label, 1 bit per dot, moved by so many dots to the right and down."""
    picture = Image.new("1", (layout.width, layout.height), 1)
    draw = ImageDraw.Draw(picture)
    for block in layout.blocks:
        corner, size = (block.left, block.top), (block.width, block.height)
        if block.role == "symbol":
            picture.paste(draw_symbol(content.address, layout.level).resize(size, Image.Resampling.NEAREST), corner)
        elif block.role == "emblem":
            picture.paste(draw_emblem(block.width), corner)
        else:
            picture.paste(0, (*corner, block.left + block.width, block.top + block.height))
    for words in layout.words:
        _draw_words(draw, words)
    return _moved(picture, shift) if any(shift) else picture


def _moved(picture: Image.Image, shift: tuple[int, int]) -> Image.Image:
    moved = Image.new("1", picture.size, 1)
    moved.paste(picture, shift)
    return moved


def write_png(picture: Image.Image, stock: Stock) -> bytes:
    """Write one picture of one bit a dot with its true size (PNG, third edition).

    Done here because Pillow loads five formats before it writes one, which takes as long as the label.
    """
    width, height = picture.size
    row = (width + 7) // 8
    dots = picture.convert("1").tobytes()
    lines = b"".join(b"\0" + dots[at : at + row] for at in range(0, row * height, row))
    metre = round(stock.dpi * 1000 / MILLIMETRES_PER_INCH)
    parts = (
        (b"IHDR", pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)),
        (b"pHYs", pack(">IIB", metre, metre, 1)),
        (b"IDAT", compress(lines)),
        (b"IEND", b""),
    )
    chunks = (pack(">I", len(data)) + kind + data + pack(">I", crc32(kind + data)) for kind, data in parts)
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def _draw_words(draw: ImageDraw.ImageDraw, words: Words) -> None:
    """Draw one line without grey: a thermal head knows none."""
    draw.fontmode = "1"
    left = words.left + (words.width // 2 if words.centred else 0)
    anchor = "ms" if words.centred else "ls"
    baseline = words.top + round(ASCENT * words.size)
    fill = 1 if words.role == "demo" else 0
    draw.text((left, baseline), words.text, fill=fill, font=font(words.size, words.face), anchor=anchor)
