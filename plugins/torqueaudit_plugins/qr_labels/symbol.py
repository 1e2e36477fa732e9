"""The QR symbol of an address as a picture of one pixel per module (ISO/IEC 18004)."""

from functools import lru_cache

import qrcode
from PIL import Image
from qrcode.constants import ERROR_CORRECT_H
from qrcode.exceptions import DataOverflowError

from torqueaudit_plugins.qr_labels.stock import LabelRefused

QUIET_ZONE = 4  # modules on each side
DARKEST_WHITE = 128  # a printer without grey leaves this and lighter white


@lru_cache(maxsize=1024)
def draw_symbol(address: str) -> Image.Image:
    """Draw level H with its quiet zone: greyscale, 0 or 255, side = number of modules. Raises LabelRefused."""
    if not address or not address.isascii() or not address.isprintable():
        raise LabelRefused(f"the label's address {address!r} must be plain ASCII; correct the workshop's base address.")
    # One segment: pieces of other modes would not decode to other text, but the size would depend on the token.
    symbol = qrcode.QRCode(error_correction=ERROR_CORRECT_H, box_size=1, border=QUIET_ZONE)
    symbol.add_data(address, optimize=0)
    try:
        symbol.make(fit=True)
    except (DataOverflowError, ValueError) as error:
        raise LabelRefused(f"the label's address has {len(address)} characters; shorten the base address.") from error
    rows = symbol.get_matrix()
    picture = Image.new("L", (len(rows), len(rows)), 255)
    picture.putdata([0 if dark else 255 for row in rows for dark in row])
    return picture
