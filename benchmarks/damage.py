"""Simulated damage to a printed QR symbol, described so that others can write it again.

The input is a label as the printer leaves it: an array of dots, 0 black and 255 white, with the place of one symbol on
it: the left and top dot of its first module, the dots of a module and the modules of a side (quiet zone not counted).
All lengths are given in millimetres, and all chance comes from the generator handed in, so a seed names one damage.

dirt in the data area
    Round blots. The radius of each is uniform from 0.5 to 1.5 mm, its centre uniform over the dots of the data area,
    its colour black (oil, grit) for two of three and white (paint, mud) for the third. Only dots of the data area are
    changed. Blots are added until they cover at least the share of the data area's dots that was asked for; a dot
    counts as covered whether or not its colour changes.
dirt anywhere
    The same, over the whole square of the symbol with its finder patterns.
scratches
    Straight white strokes across the whole square, as wide as 0.1 to 0.4 mm (uniform), through a point uniform over
    the square at an angle uniform from 0 to 180 degrees, added until the share of the square is covered.
whole label
    Dirt anywhere and scratches, over the whole label in place of the square: text and quiet zones too, on which
    blots lie that reach into a symbol from beside it.
spot on a corner
    One round black spot on one of the three finder patterns, each as likely as the others. Its diameter is uniform from
    0.9 to 1.5 mm, its centre uniform over the 7 by 7 modules of the pattern. Dots outside the square stay as they are.
corners gone
    So many of the three finder patterns, drawn without replacement, are painted white with the module around them.

The data area is the symbol without its function patterns (ISO/IEC 18004): the three finder patterns with their
separators and the format information beside them, both timing patterns, the alignment pattern; versions 1 to 6.
"""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Dots = NDArray[np.uint8]
Mask = NDArray[np.bool_]

BLOT_MM, SCRATCH_MM = (0.5, 1.5), (0.1, 0.4)
SPOT_MM = (0.9, 1.5)  # across
FINDER = 7  # modules of a finder pattern
BLACK_SHARE = 2 / 3
MILLIMETRES_PER_INCH = 25.4
NO_ALIGNMENT = 21  # modules of a side: version 1


class Symbol(NamedTuple):
    """Where a symbol lies, without its quiet zone: in dots, and in modules a side."""

    left: int
    top: int
    module: int
    modules: int
    dpi: int

    @property
    def side(self) -> int:
        """In dots."""
        return self.module * self.modules


def dirt_in_data(label: Dots, symbol: Symbol, share: float, chance: np.random.Generator) -> Dots:
    """Blots over a share of the data area."""
    damaged = label.copy()
    _blot(_square(damaged, symbol), data_area(symbol), symbol.dpi, share, chance)
    return damaged


def dirt_anywhere(label: Dots, symbol: Symbol, share: float, chance: np.random.Generator) -> Dots:
    """Blots over a share of the whole symbol."""
    damaged = label.copy()
    _blot(_square(damaged, symbol), np.ones((symbol.side, symbol.side), bool), symbol.dpi, share, chance)
    return damaged


def dirt_on_label(label: Dots, dpi: int, share: float, chance: np.random.Generator) -> Dots:
    """Blots over a share of the whole label."""
    damaged = label.copy()
    _blot(damaged, np.ones(label.shape, bool), dpi, share, chance)
    return damaged


def scratches(label: Dots, symbol: Symbol, share: float, chance: np.random.Generator) -> Dots:
    """White strokes over a share of the whole symbol."""
    damaged = label.copy()
    _scratch(_square(damaged, symbol), symbol.dpi, share, chance)
    return damaged


def scratches_on_label(label: Dots, dpi: int, share: float, chance: np.random.Generator) -> Dots:
    """White strokes over a share of the whole label."""
    damaged = label.copy()
    _scratch(damaged, dpi, share, chance)
    return damaged


def spot_on_corner(label: Dots, symbol: Symbol, chance: np.random.Generator) -> Dots:
    """One black spot on a finder pattern."""
    left, top = _corners(symbol)[chance.integers(3)]
    x, y = left + chance.uniform(0, FINDER), top + chance.uniform(0, FINDER)
    radius = chance.uniform(*SPOT_MM) / 2 * symbol.dpi / MILLIMETRES_PER_INCH
    rows, columns = np.mgrid[: symbol.side, : symbol.side]
    spot = (rows - y * symbol.module) ** 2 + (columns - x * symbol.module) ** 2 <= radius**2
    damaged = label.copy()
    _square(damaged, symbol)[spot] = 0
    return damaged


def corners_gone(label: Dots, symbol: Symbol, corners: int, chance: np.random.Generator) -> Dots:
    """So many finder patterns painted over, white."""
    damaged = label.copy()
    for corner in chance.choice(3, corners, replace=False):
        left, top = (symbol.module * (at - 1) for at in _corners(symbol)[corner])
        side = symbol.module * (FINDER + 2)
        damaged[symbol.top + top : symbol.top + top + side, symbol.left + left : symbol.left + left + side] = 255
    return damaged


def _corners(symbol: Symbol) -> list[tuple[int, int]]:
    """The left and top module of each finder pattern."""
    far = symbol.modules - FINDER
    return [(0, 0), (far, 0), (0, far)]


def data_area(symbol: Symbol) -> Mask:
    """The dots of a symbol's square that are no function pattern."""
    data = np.ones((symbol.modules, symbol.modules), bool)
    data[:9, :9] = data[:9, -8:] = data[-8:, :9] = False
    data[6, :] = data[:, 6] = False
    if symbol.modules > NO_ALIGNMENT:
        data[-9:-4, -9:-4] = False
    return np.kron(data, np.ones((symbol.module, symbol.module), bool))


def _square(label: Dots, symbol: Symbol) -> Dots:
    """The part of a label that a symbol takes; what is painted on it is painted on the label."""
    return label[symbol.top : symbol.top + symbol.side, symbol.left : symbol.left + symbol.side]


def _blot(part: Dots, area: Mask, dpi: int, share: float, chance: np.random.Generator) -> None:
    rows, columns = np.mgrid[: part.shape[0], : part.shape[1]]
    inside = np.argwhere(area)
    covered, white = np.zeros_like(area), np.zeros_like(area)
    while covered.sum() < share * area.sum():
        y, x = inside[chance.integers(len(inside))]
        radius = chance.uniform(*BLOT_MM) * dpi / MILLIMETRES_PER_INCH
        blot = area & ((rows - y) ** 2 + (columns - x) ** 2 <= radius**2)
        covered |= blot
        white = white & ~blot if chance.random() < BLACK_SHARE else white | blot
    part[covered & white], part[covered & ~white] = 255, 0


def _scratch(part: Dots, dpi: int, share: float, chance: np.random.Generator) -> None:
    height, width = part.shape
    rows, columns = np.mgrid[:height, :width]
    covered = np.zeros(part.shape, bool)
    while covered.mean() < share:
        x, y = chance.uniform(0, width), chance.uniform(0, height)
        angle, wide = chance.uniform(0, np.pi), chance.uniform(*SCRATCH_MM) * dpi / MILLIMETRES_PER_INCH
        covered |= np.abs((columns - x) * np.sin(angle) - (rows - y) * np.cos(angle)) <= wide / 2
    part[covered] = 255
