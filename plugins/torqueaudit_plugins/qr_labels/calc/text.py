"""Text in the bundled fonts: its true width, and making it fit a width without ever running over."""

import unicodedata
from functools import cache, lru_cache
from importlib import resources
from io import BytesIO
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from PIL import ImageFont

from torqueaudit.plugin import seen

if TYPE_CHECKING:
    from importlib.resources.abc import Traversable

# The faces of the bundled font, the widest first; where letters may not be smaller, a narrower one has room.
BOLD, PLAIN, NARROW = "bold", "plain", "narrow"
FACES = (BOLD, PLAIN, NARROW)
_FILES = {BOLD: "DejaVuSans-Bold.ttf", PLAIN: "DejaVuSans.ttf", NARROW: "DejaVuSansCondensed.ttf"}

# All faces alike, in parts of the font size (their hhea and OS/2 tables, and the outline of H).
ASCENT = 0.928
LINE = 1.164
CAPITAL = 0.729  # of a capital above the baseline
FIGURE_TOP = 0.745  # of a figure above the baseline, with its overshoot
FIGURE = 0.76  # height of a figure, with its overshoot at both ends
ELLIPSIS = "…"
_UNKNOWN = "(?)"  # printed for what the font lacks, so that no other font is ever asked


def font_bytes(face: str) -> bytes:
    """Read the bundled font file of a face."""
    return _font_file(face).read_bytes()


@cache
def _font_file(face: str) -> "Traversable":
    return resources.files("torqueaudit_labels") / "fonts" / _FILES[face]


@lru_cache(maxsize=128)
def font(size: int, face: str) -> ImageFont.FreeTypeFont:
    """Load the bundled font for a size in dots; from its file where that can be, as bytes are held once a size."""
    file = _font_file(face)
    source = str(file) if isinstance(file, Path) else BytesIO(file.read_bytes())
    return ImageFont.truetype(source, size, layout_engine=ImageFont.Layout.BASIC)


def printable(text: str) -> str:
    """Bring a text to one line of characters that the font has."""
    runs = groupby(_one_line(text), _has)
    return "".join("".join(run) if has else _UNKNOWN for has, run in runs)


def missing(text: str) -> str:
    """Give the characters of a text that the font lacks, each once; one that nobody sees as what it is, "⟨U+202E⟩"."""
    lacking = dict.fromkeys(character for character in _one_line(text) if not _has(character))
    return "".join(map(seen, lacking))


def _one_line(text: str) -> str:
    return " ".join(unicodedata.normalize("NFC", text).split())


@lru_cache(maxsize=4096)
def width_of(text: str, size: int, face: str) -> float:
    """Width in dots, the greater of exact outlines (sheets) and of outlines fitted to dots (thermal labels)."""
    return max(_exact_width(text, size, face), font(size, face).getlength(text))


def _exact_width(text: str, size: int, face: str) -> float:
    return font(2048, face).getlength(text) * size / 2048


def fit_text(text: str, width: int, most: int, least: int, face: str) -> tuple[str, int]:
    """Shrink the font from `most` towards `least` dots until the text fits; cut it with an ellipsis if need be."""
    text = printable(text)
    unit = _exact_width(text, 1, face)
    largest = min(most, int(width / unit)) if unit else most
    for size in range(largest, least - 1, -1):
        if width_of(text, size, face) <= width:
            return text, size
    size = min(most, least)
    for length in range(len(text) - 1, 0, -1):
        cut = text[:length].rstrip() + ELLIPSIS
        if width_of(cut, size, face) <= width:
            return cut, size
    return "", size


def fit_face(text: str, width: int, size: int, faces: tuple[str, ...] = FACES) -> tuple[str, str]:
    """The text and the first face in which it fits at this size; cut, and in the last one, where it fits in none."""
    text = printable(text)
    for face in faces:
        if width_of(text, size, face) <= width:
            return text, face
    return fit_text(text, width, size, size, faces[-1])[0], faces[-1]


def wrap_text(text: str, width: int, size: int, face: str, hang: str = "") -> list[str] | None:
    """Break a text between words into rows that fit, all but the first beginning with `hang`.

    None when a word alone does not fit.
    """
    rows: list[str] = []
    for word in printable(text).split():
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and width_of(longer, size, face) <= width:
            rows[-1] = longer
            continue
        rows.append(f"{hang}{word}" if rows else word)
        if width_of(rows[-1], size, face) > width:
            return None
    return rows


@lru_cache(maxsize=4096)
def _has(character: str) -> bool:
    if " " <= character <= "~":  # most labels say nothing else, and drawing to compare takes time
        return True
    return seen(character) == character and _drawn(character) != _drawn("\uffff")


def _drawn(character: str) -> bytes:
    return bytes(font(24, BOLD).getmask(character))
