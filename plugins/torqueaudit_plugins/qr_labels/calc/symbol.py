"""The QR symbol of an address as a picture of one pixel per module (ISO/IEC 18004).

Two makers draw it and have to agree: decision 0036.
"""

from functools import lru_cache

import qrcode
import zxingcpp
from PIL import Image
from qrcode import constants
from qrcode.exceptions import DataOverflowError

from torqueaudit.plugin.commands import symbol_drawing
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused

QUIET_ZONE = 4  # modules on each side
DARKEST_WHITE = 128  # a printer without grey leaves this and lighter white
_LEVELS = {
    "L": constants.ERROR_CORRECT_L,
    "M": constants.ERROR_CORRECT_M,
    "Q": constants.ERROR_CORRECT_Q,
    "H": constants.ERROR_CORRECT_H,
}
_GREYS = bytes((255, 0)) + bytes(254)  # of a light and a dark module
_MASK_OF_FORMAT = 0b101  # what the three bits of the mask are hidden with (ISO/IEC 18004, format information)


@lru_cache(maxsize=1024)
def draw_symbol(address: str, level: str = "H") -> Image.Image:
    """Draw a symbol with its quiet zone: greyscale, 0 or 255, side = number of modules. Raises LabelRefused."""
    if not address or not address.isascii() or not address.isprintable():
        raise LabelRefused(f"the label's address {address!r} must be plain ASCII; correct the workshop's base address.")
    try:
        other = zxingcpp.create_barcode(address, zxingcpp.BarcodeFormat.QRCode, ec_level=level)
        others = Image.fromarray(other.to_image(scale=1, add_quiet_zones=True))
        picture = _by_qrcode(address, level, _mask_of(others))
        if picture.tobytes() != others.tobytes():  # it packs some digits apart; then its mask may not be the best here
            picture = _by_qrcode(address, level, None)
    except (DataOverflowError, ValueError) as error:
        raise LabelRefused(f"the label's address has {len(address)} characters; shorten the base address.") from error
    return picture


def draw_symbols(address: str, level: str, apart: float) -> Image.Image:
    """Draw copies in one picture, from left to left `apart` of their width, which is whole modules; 0 draws one."""
    one = draw_symbol(address, level)
    second = round(apart * one.width)
    both = Image.new("L", (second + one.width, one.height), 255)
    for left in {0, second}:
        both.paste(one, (left, 0))
    return both


def _by_qrcode(address: str, level: str, mask: int | None) -> Image.Image:
    """Draw by `qrcode`, whose search for the mask takes nine tenths of its time: given one, it does not search."""
    code = qrcode.QRCode(error_correction=_LEVELS[level], border=QUIET_ZONE, mask_pattern=mask)
    # One segment: pieces of other modes would not decode to other text, but the size would depend on the token.
    code.add_data(address, optimize=0)
    code.make()
    rows = code.get_matrix()
    dark = b"".join(map(bytes, rows))  # 1 for each dark module
    return Image.frombytes("L", (len(rows), len(rows)), dark.translate(_GREYS))


def _mask_of(picture: Image.Image) -> int:
    """Read which mask a symbol has from its format information: row 8, columns 2 to 4."""
    bits = [picture.getpixel((QUIET_ZONE + column, QUIET_ZONE + 8)) == 0 for column in (2, 3, 4)]
    return (bits[0] << 2 | bits[1] << 1 | bits[2]) ^ _MASK_OF_FORMAT


def symbol_svg(address: str, title: str, level: str = "H") -> str:
    """Draw the symbol alone, 1 unit a module, as a file of its own; `title` is its alternative text."""
    picture = draw_symbol(address, level)
    side = range(picture.width)
    drawing = symbol_drawing([[picture.getpixel((column, row)) == 0 for column in side] for row in side], title)
    return drawing.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1) + "\n"


def drawn(svg: str) -> Image.Image:
    """Draw a symbol's drawing again from its path, 4 dots a module."""
    side = int(svg.partition('viewBox="0 0 ')[2].partition(" ")[0])
    picture = Image.new("1", (side, side), 1)
    for run in svg.partition('<path d="M')[2].partition('z"')[0].split("zM"):
        left, row, width = (int(number) for number in run.partition("v")[0].replace("h", " ").split())
        picture.paste(0, (left, row, left + width, row + 1))
    return picture.resize((4 * side, 4 * side), Image.Resampling.NEAREST)
