"""A second copy of the symbol that cannot be read: what is left of its corners tells that it is there.

Two copies stand upright at both ends of a label. So a corner as large as those of the symbol that was read, in line
with them and beside it, belongs to a copy. Where the copy would reach out of the photo nothing is said of it.
"""

from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.photo.corners import SIDE, Corner, Dark, darkened, find_corners

if TYPE_CHECKING:
    from PIL import Image

_PIXELS = 4  # of a module in the strip that is searched
_SIDES = 8  # the widest label has its copies less than so many sides of a symbol apart (a4-2x7, 29 modules: 6.5)
_ABOVE = 8  # modules above and below the symbol; a photo is not taken from straight above
_AROUND = 90  # of its length is a neighbourhood: seven modules either way for 37 modules a side
_MOST_CORNERS = 24
_ALIKE = 1.25  # a corner may be so many times larger or smaller
_LIKENESS = 0.85
_LEAST_OFF, _OFF_SHARE = 1.5, 0.04  # modules out of line, and so many more for each module away
_QUIET = 4  # modules of white beside a symbol
# The three outer modules of that white beside a corner, on its right hand; on its left hand with the sign turned.
_BESIDE = [(x + y * 1j, False) for x in (5, 6, 7) for y in range(-3, 4)]
_WHITER = 0.15  # share of those modules; data are white by half


class Frame(NamedTuple):
    """Where a symbol lies in a picture: its first corner, and one module along its rows and its columns, as x + y·i."""

    origin: complex
    along: complex
    down: complex
    modules: int

    def holds(self, size: tuple[int, int], left: float) -> bool:
        """Whether a symbol that begins `left` modules along the rows lies within a picture of this size."""
        ends = [
            self.origin + self.along * x + self.down * y for x in (left, left + self.modules) for y in (0, self.modules)
        ]
        return all(0 <= end.real <= size[0] and 0 <= end.imag <= size[1] for end in ends)


def copy_lost(picture: "Image.Image", symbol: Any) -> bool:
    """Whether a copy of the one symbol that was read in a picture is there beside it."""
    frame = _frame(symbol)
    if not frame.along or not frame.down:
        return False
    dark = darkened(_strip(picture, frame), _AROUND)
    return any(_shows_copy(dark, corner, frame, picture.size) for corner in find_corners(dark, _MOST_CORNERS))


def _shows_copy(dark: Dark, corner: Corner, frame: Frame, size: tuple[int, int]) -> bool:
    """Whether a corner in the strip belongs to a copy that lies within the photo."""
    extent = corner.extent / (SIDE * _PIXELS)
    if not 1 / _ALIKE < extent < _ALIKE or dark.likeness(corner.at, extent * _PIXELS) < _LIKENESS:
        return False
    at = corner.at / _PIXELS - (_SIDES * frame.modules + _ABOVE * 1j)
    ways = [SIDE / 2] if _in_line(at, frame.modules - SIDE / 2) else _ways(dark, corner, at, frame.modules)
    lefts = [at.real - way for way in ways if abs(at.real - way) > frame.modules + _QUIET]
    return bool(lefts) and all(frame.holds(size, left) for left in lefts)


def _ways(dark: Dark, corner: Corner, at: complex, modules: int) -> list[float]:
    """How far from the copy's left a corner of the first row may be: white shows on which hand the copy ends."""
    if not _in_line(at, SIDE / 2):
        return []
    module = corner.extent / SIDE
    left, right = (dark.likeness(corner.at, hand * module, _BESIDE) for hand in (-1, 1))
    return [SIDE / 2] * (left > right - _WHITER) + [modules - SIDE / 2] * (right > left - _WHITER)


def _in_line(at: complex, row: float) -> bool:
    """Whether a place is in a row of corners of the symbol that was read, both in modules."""
    return abs(at.imag - row) < _LEAST_OFF + _OFF_SHARE * abs(at.real)


def _frame(symbol: Any) -> Frame:
    place, modules = symbol.position, 4 * int(symbol.extra["Version"]) + 17
    first, second, last = (complex(at.x, at.y) for at in (place.top_left, place.top_right, place.bottom_left))
    return Frame(first, (second - first) / modules, (last - first) / modules, modules)


def _strip(picture: "Image.Image", frame: Frame) -> "Image.Image":
    """Turn upright what lies beside the symbol on both hands."""
    from PIL import Image

    along, down = frame.along / _PIXELS, frame.down / _PIXELS
    start = frame.origin - frame.along * _SIDES * frame.modules - frame.down * _ABOVE
    size = (2 * _SIDES + 1) * frame.modules * _PIXELS, (frame.modules + 2 * _ABOVE) * _PIXELS
    places = along.real, down.real, start.real, along.imag, down.imag, start.imag
    return picture.transform(size, Image.Transform.AFFINE, places, Image.Resampling.BILINEAR, fillcolor=255)
