"""Every label is read back by a decoder, as black and white dots, before its file is handed out."""

import os
import tempfile
from pathlib import Path
from typing import NamedTuple

import pypdfium2
import zxingcpp
from PIL import Image

from torqueaudit_plugins.qr_labels.stock import LabelRefused
from torqueaudit_plugins.qr_labels.symbol import DARKEST_WHITE

_POINTS_PER_INCH = 72
_FORMATS = zxingcpp.BarcodeFormats([zxingcpp.BarcodeFormat.QRCode])


class Expected(NamedTuple):
    """Where a label lies on the pages, in dots, and what its symbols must say."""

    figure: str
    page: int
    box: tuple[int, int, int, int]  # left, top, right, bottom
    address: str
    copies: int


def pages_of_pdf(pdf: bytes, dpi: int) -> list[Image.Image]:
    """Rasterise as a printer without grey does: one black or white dot at a time."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        scale = dpi / _POINTS_PER_INCH
        return [
            _black_and_white(page.render(scale=scale, grayscale=True, no_smoothimage=True).to_pil())
            for page in document
        ]
    finally:
        document.close()


def check_labels(pages: list[Image.Image], labels: list[Expected]) -> None:
    """Decode every copy of every symbol. Raises LabelRefused naming the first job whose label is not read."""
    for label in labels:
        read = []
        if label.page < len(pages):
            part = pages[label.page].crop(label.box).convert("L")
            read = [found.text for found in zxingcpp.read_barcodes(part, formats=_FORMATS)]
        if read != [label.address] * label.copies:
            raise LabelRefused(
                f"the label of job {label.figure} does not decode to {label.address} "
                f"({len(read)} of {label.copies} symbols read); nothing is written. Take another stock."
            )


def hand_out(data: bytes, out: Path, *, force: bool) -> None:
    """Write the whole file under another name and then rename it, so that a half-written label is never found."""
    refuse_existing(out, force=force)
    try:
        handle, name = tempfile.mkstemp(prefix=f".{out.name}.", dir=out.parent)
    except OSError as error:
        raise LabelRefused(f"{out} cannot be written: {error.strerror}; choose another folder.") from error
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        temporary.chmod(0o644)
        temporary.replace(out)
    except OSError as error:
        temporary.unlink(missing_ok=True)
        raise LabelRefused(f"{out} cannot be written: {error.strerror}.") from error


def refuse_existing(out: Path, *, force: bool) -> None:
    """Raise LabelRefused when the file must not be replaced or can be no file."""
    if out.is_dir():
        raise LabelRefused(f"{out} is a directory; name a file in it.")
    if out.exists() and not force:
        raise LabelRefused(f"{out} exists already; choose another name, or --force to replace it.")


def _black_and_white(picture: Image.Image) -> Image.Image:
    return picture.convert("L").point(lambda grey: 255 * (grey >= DARKEST_WHITE)).convert("1")
