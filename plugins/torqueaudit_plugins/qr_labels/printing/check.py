"""Every label is read back by a decoder, as black and white dots, before its file is handed out."""

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

import zxingcpp
from PIL import Image

from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused

_POINTS_PER_INCH = 72
_FORMATS = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])
_BLACK_OR_WHITE = zxingcpp.Binarizer.FixedThreshold  # the dots are that already


class Expected(NamedTuple):
    """Where a label lies on the pages, in dots, and what its symbols must say."""

    title: str
    page: int
    box: tuple[int, int, int, int]  # left, top, right, bottom
    address: str
    copies: int


def pages_of_pdf(pdf: bytes, dpi: int) -> Iterator[Image.Image]:
    """Rasterise as a printer without grey does, one page after the other: each dot is black or white."""
    import pypdfium2  # a PNG needs none of it

    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            grey = page.render(scale=dpi / _POINTS_PER_INCH, grayscale=True, no_smoothimage=True).to_pil()
            yield grey.convert("1", dither=Image.Dither.NONE)  # grey from 128 on is white
            page.close()
    finally:
        document.close()


def check_labels(pages: Iterable[Image.Image], labels: Iterable[Expected]) -> Iterator[int]:
    """Decode every copy of every symbol, page by page, giving how many labels were read so far.

    Raises LabelRefused naming the first label that is not read.
    """
    waiting = list(labels)
    done = 0
    for number, page in enumerate(pages):
        for label in (each for each in waiting if each.page == number):
            _check(page, label)
            done += 1
        yield done
    for label in waiting[done:]:
        raise _unread(label, 0)


def _check(page: Image.Image, label: Expected) -> None:
    part = page.crop(label.box).convert("L")
    found = zxingcpp.read_barcodes(
        part, _FORMATS, try_rotate=False, try_downscale=False, try_invert=False, binarizer=_BLACK_OR_WHITE
    )
    read = [symbol.text for symbol in found if _unharmed(symbol.extra)]
    if read != [label.address] * label.copies:
        raise _unread(label, len(read))


def _unharmed(told: Any) -> bool:
    """Whether nothing was corrected: then this decoder agrees with the encoder, of another maker, on every bit."""
    return bool(told["UEC"] == 1)


def _unread(label: Expected, read: int) -> LabelRefused:
    return LabelRefused(
        f"the label of {label.title} does not decode to {label.address} without an error ({read} of "
        f"{label.copies} symbols read); nothing is written. Take another stock."
    )
