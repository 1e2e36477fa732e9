"""Text in the bundled font: its true width, and making it fit a width without ever running over."""

import unicodedata
from functools import lru_cache
from importlib import resources
from io import BytesIO

from PIL import ImageFont

# DejaVu Sans and its bold, in parts of the font size (their hhea and OS/2 tables).
ASCENT = 0.928
LINE = 1.164
FIGURE_TOP = 0.745  # of a figure above the baseline, with its overshoot
FIGURE = 0.76  # height of a figure, with its overshoot at both ends
ELLIPSIS = "…"
_UNKNOWN = "\ufffd"  # drawn for what the font lacks, so that no other font is ever asked


def font_bytes(*, bold: bool) -> bytes:
    """Read the bundled font file."""
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return (resources.files("torqueaudit_labels") / "fonts" / name).read_bytes()


@lru_cache(maxsize=128)
def font(size: int, *, bold: bool) -> ImageFont.FreeTypeFont:
    """Load the bundled font for a size in dots."""
    return ImageFont.truetype(BytesIO(font_bytes(bold=bold)), size, layout_engine=ImageFont.Layout.BASIC)


def printable(text: str) -> str:
    """Bring a text to one line of characters that the font has."""
    line = " ".join(unicodedata.normalize("NFC", text).split())
    return "".join(character if _has(character) else _UNKNOWN for character in line)


def width_of(text: str, size: int, *, bold: bool) -> float:
    """Width in dots, the greater of exact outlines (sheets) and of outlines fitted to dots (thermal labels)."""
    exact = font(2048, bold=bold).getlength(text) * size / 2048
    return max(exact, font(size, bold=bold).getlength(text))


def fit_text(text: str, width: int, most: int, least: int, *, bold: bool = False) -> tuple[str, int]:
    """Shrink the font from `most` towards `least` dots until the text fits; cut it with an ellipsis if need be."""
    text = printable(text)
    for size in range(most, least - 1, -1):
        if width_of(text, size, bold=bold) <= width:
            return text, size
    size = min(most, least)
    for length in range(len(text) - 1, 0, -1):
        cut = text[:length].rstrip() + ELLIPSIS
        if width_of(cut, size, bold=bold) <= width:
            return cut, size
    return "", size


@lru_cache(maxsize=4096)
def _has(character: str) -> bool:
    if unicodedata.category(character)[0] == "C":
        return False
    return _drawn(character) != _drawn("\uffff")


def _drawn(character: str) -> bytes:
    return bytes(font(24, bold=True).getmask(character))
