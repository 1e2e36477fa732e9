"""A photo of a label, as a telephone sends it."""

from io import BytesIO

import zxingcpp
from PIL import Image, ImageDraw


def photo_of(address: str, blot: int = 0) -> bytes:
    """A symbol on a grey bench as JPEG, with a white blot of so many pixels in its middle."""
    code = zxingcpp.create_barcode(address, zxingcpp.BarcodeFormat.QRCode, ec_level="H")
    symbol = Image.fromarray(code.to_image(scale=8, add_quiet_zones=True))
    middle = symbol.width // 2
    ImageDraw.Draw(symbol).rectangle((middle - blot // 2, middle, middle + blot // 2, middle + blot), fill=255)
    bench = Image.new("L", (1200, 900), 120)
    bench.paste(symbol, (300, 200))
    file = BytesIO()
    bench.save(file, "JPEG")
    return file.getvalue()
