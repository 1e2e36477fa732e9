"""The finder patterns in a picture: the three corner squares by which a symbol is found (ISO/IEC 18004).

Along every line through its middle a finder pattern is dark, light, dark, light, dark in the proportions 1 : 1 : 3 :
1 : 1. Decoders give up when one of three is damaged; here each is found alone. See decision 0041.
"""

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.photo.pictures import against_surroundings

if TYPE_CHECKING:
    from PIL import Image

SIDE = 7  # modules of a finder pattern; around it one module is light
# A finder pattern with what is around it: modules from its middle, x + y·i, and whether they are dark.
PATTERN = [(x + y * 1j, max(abs(x), abs(y)) in {0, 1, 3}) for x in range(-4, 5) for y in range(-4, 5)]

_DARK, _LIGHT = b"\0", b"\xff"
_CONTRAST = 4  # greys by which a dark pixel is darker than its neighbourhood
_RUN = re.compile(rb"\x00+")
_HIGH = 1000  # pixels; of a higher picture every other row is searched
_CORE_SHARES = (1 / 2, 1 / 6, 5 / 6)  # of the width of a core: the middles of its three modules, its own first
_CELL = 4  # pixels; finds nearer than that are one


class Corner(NamedTuple):
    """A finder pattern: its middle, x + y·i in pixels, and its extent along rows and columns."""

    at: complex
    extent: float


class Dark(NamedTuple):
    """A picture in two shades, as rows and as columns of bytes."""

    width: int
    height: int
    rows: bytes
    columns: bytes

    def row(self, y: float) -> bytes:
        """The pixels of a row."""
        return self.rows[int(y) * self.width : (int(y) + 1) * self.width]

    def column(self, x: float) -> bytes:
        """The pixels of a column."""
        return self.columns[int(x) * self.height : (int(x) + 1) * self.height]

    def likeness(self, at: complex, module: complex, pattern: Sequence[tuple[complex, bool]] = PATTERN) -> float:
        """The share of a pattern's modules that are as they ought to be, were its middle here.

        `module` leads from one module to the next one of its row, x + y·i in pixels.
        """
        good = 0
        for place, dark in pattern:
            pixel = at + place * module
            x, y = int(pixel.real), int(pixel.imag)
            if 0 <= x < self.width and 0 <= y < self.height:
                good += (self.rows[y * self.width + x] == 0) == dark
        return good / len(pattern)


def darkened(picture: "Image.Image", share: int) -> Dark:
    """What is darker than its neighbourhood, which is a share of the picture as in `against_surroundings`."""
    from PIL import Image

    least = 128 - _CONTRAST
    shades = against_surroundings(picture, share).point([0] * least + [255] * (256 - least))
    columns = shades.transpose(Image.Transpose.TRANSPOSE)
    return Dark(shades.width, shades.height, shades.tobytes(), columns.tobytes())


def find_corners(dark: Dark, most: int) -> list[Corner]:
    """Find so many finder patterns at most, those first that the most rows show."""
    cells = defaultdict(list)
    for y in range(0, dark.height, 1 + (dark.height > _HIGH)):
        for corner in _in_row(dark, y):
            cells[round(corner.at.real / _CELL), round(corner.at.imag / _CELL)].append(corner)
    found: list[Corner] = []
    for finds in sorted(cells.values(), key=len, reverse=True):
        middle = Corner(sum(each.at for each in finds) / len(finds), sum(each.extent for each in finds) / len(finds))
        if all(abs(middle.at - other.at) > other.extent / 2 for other in found):
            found.append(middle)
            if len(found) == most:
                break
    return found


def _in_row(dark: Dark, y: int) -> Iterator[Corner]:
    """The corners of one row: right in proportion along it, and along a column through their core.

    Their middle is measured along its own row, unless dirt has spoilt that one.
    """
    edges = [edge for run in _RUN.finditer(dark.row(y)) for edge in run.span()]
    for start in range(0, len(edges) - 5, 2):
        bounds = edges[start : start + 6]
        if not _are_right(bounds):
            continue
        x, down = _right_column(dark, y, bounds)
        if not down:
            continue
        middle = (down[2] + down[3]) / 2
        middle_row = _bounds(dark.row(middle), x)
        across = middle_row if _are_right(middle_row) else bounds
        yield Corner((across[2] + across[3]) / 2 + middle * 1j, (across[5] - across[0] + down[5] - down[0]) / 2)


def _right_column(dark: Dark, y: int, bounds: Sequence[int]) -> tuple[int, Sequence[int]]:
    """A column through the core of a row's bounds that is right, and its own bounds; empty where none is.

    Dirt on the ring spoils some columns, and seldom all.
    """
    for share in _CORE_SHARES:
        x = int(bounds[2] + (bounds[3] - bounds[2]) * share)
        down = _bounds(dark.column(x), y)
        if _are_right(down):
            return x, down
    return 0, ()


def _bounds(line: bytes, at: int) -> Sequence[int]:
    """Where the five runs around a dark pixel begin, and where the last one ends; empty where there are fewer."""
    if line[at : at + 1] != _DARK:
        return ()
    back, on = [at], [at]
    for shade in (_LIGHT, _DARK, _LIGHT):
        back.append(line.rfind(shade, 0, back[-1]))
        on.append(line.find(shade, on[-1]))
        if back[-1] < 0 or on[-1] < 0:
            return ()
    return (back[3] + 1, back[2] + 1, back[1] + 1, *on[1:])


def _are_right(bounds: Sequence[int]) -> bool:
    """Whether five runs have the proportions of a finder pattern, half a module and half a pixel either way."""
    if not bounds:
        return False
    module = (bounds[5] - bounds[0]) / SIDE
    either = (module + 1) / 2
    if module < 1 or abs(bounds[3] - bounds[2] - 3 * module) > 2 * either:
        return False
    return all(abs(bounds[place + 1] - bounds[place] - module) <= either for place in (0, 1, 3, 4))
