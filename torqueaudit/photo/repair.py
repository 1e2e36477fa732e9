"""A symbol whose corners are spoilt: two that are still found foretell the third, and all are drawn anew.

No error correction covers a finder pattern: one spot that joins its ring to its core hides a symbol whose every
codeword is whole. Drawn anew are the finder patterns alone with the white around them; the rest stays as it was seen.
See decisions 0041 and 0116.
"""

from collections.abc import Iterator
from itertools import combinations, product
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.photo.corners import SIDE, Corner, Dark, darkened, find_corners
from torqueaudit.photo.pictures import MIDDLE, SMALL, within

if TYPE_CHECKING:
    from PIL import Image

# Pixels of the longer side, and the share of it that is a neighbourhood: for small symbols, and for one that fills the
# photo, where the core of a corner is wider than the narrow neighbourhood.
_SEARCHED = ((MIDDLE, 60), (SMALL, 12))
_MOST_CORNERS, _MOST_GUESSES = 12, 16  # a picture of nothing but corners costs a second
_ALIKE = 1.33  # one corner may be so many times as large as the other
# The middles of two corners, in widths of one: versions 1 to 10, across too up to version 8. Labels have 2 to 5.
_LEAST_APART, _MOST_APART = 1.4, 9
_AROUND = 9  # modules between the middles of corners and the edge of what is cut out
_SHARP = 6  # pixels of a module in what is cut out
_SHIFTS = ((-2, -1, 0, 1, 2), (-0.5, 0, 0.5))  # modules, one after the other; no photo is from straight above
_FITS = 0.75  # likeness from which a corner is there; what is none reaches 0.7 somewhere nearby
_SQUARES = ((9, False), (7, True), (5, False), (3, True))  # modules of each side, and whether it is dark


class Guess(NamedTuple):
    """Where a third corner ought to be, one module along its row as x + y·i, and the two corners that say so."""

    at: complex
    module: complex
    others: tuple[complex, complex]

    def times(self, scale: float) -> "Guess":
        """The same guess in a picture that is `scale` times as large."""
        first, second = self.others
        return Guess(self.at * scale, self.module * scale, (first * scale, second * scale))

    @property
    def corners(self) -> tuple[complex, complex, complex]:
        """The three middles, the guessed one first."""
        return (self.at, *self.others)

    @property
    def square(self) -> list[complex]:
        """The middles of the three corners, and what completes them to a square."""
        first, second = self.others
        ways = ((self.at, first, second), (first, self.at, second), (second, self.at, first))
        right = min(ways, key=lambda way: abs(((way[1] - way[0]) * (way[2] - way[0]).conjugate()).real))
        return [*right, right[1] + right[2] - right[0]]


def mended(photo: "Image.Image") -> Iterator["Image.Image"]:
    """Cut out what may be a symbol with its spoilt corners drawn anew, the likeliest first."""
    for most, around in _SEARCHED:
        small = within(photo, most)
        dark = darkened(small, around)
        guesses = [_fitted(dark, each) for each in _guesses(find_corners(dark, _MOST_CORNERS))]
        guesses.sort(key=lambda each: sum(dark.likeness(at, each.module) for at in each.corners), reverse=True)
        for guess in guesses[:_MOST_GUESSES]:
            yield _redrawn(photo, guess.times(max(photo.size) / max(small.size)))


def _guesses(corners: list[Corner]) -> Iterator[Guess]:
    """Two corners lie along a side, and the third beside either on either hand; or they lie across the symbol."""
    for one, two in combinations(corners, 2):
        extent, way = (one.extent + two.extent) / 2, two.at - one.at
        alike = one.extent < two.extent * _ALIKE and two.extent < one.extent * _ALIKE
        if not alike or not _LEAST_APART < abs(way) / extent < _MOST_APART:
            continue
        others = one.at, two.at
        for hand in (1j, -1j):
            module = _module(extent, way)
            yield Guess(one.at + way * hand, module, others)
            yield Guess(two.at + way * hand, module, others)
            across = way * (1 + hand) / 2
            yield Guess(one.at + across, _module(extent, across), others)


def _module(extent: float, along: complex) -> complex:
    """One module along a direction; rows and columns cross a turned square in more than its side."""
    way = along / abs(along)
    return way * max(abs(way.real), abs(way.imag)) * extent / SIDE


def _fitted(dark: Dark, guess: Guess) -> Guess:
    """The guess moved to the place where the rest of the corner fits best; unmoved where nothing fits."""

    def fits(at: complex) -> tuple[float, float]:
        return dark.likeness(at, guess.module), -abs(at - guess.at)

    best = guess.at
    for shifts in _SHIFTS:
        best = max((best + (x + y * 1j) * abs(guess.module) for x, y in product(shifts, shifts)), key=fits)
    return guess._replace(at=best) if dark.likeness(best, guess.module) >= _FITS else guess


def _redrawn(photo: "Image.Image", guess: Guess) -> "Image.Image":
    """Cut out the symbol, as large as is read best, and draw its corners."""
    from PIL import Image, ImageDraw

    module = abs(guess.module)
    around, scale = module * _AROUND, _SHARP / module
    left, top = (max(0, min(values) - around) for values in _axes(guess.square))
    right, bottom = (
        min(most, max(values) + around) for most, values in zip(photo.size, _axes(guess.square), strict=True)
    )
    size = round((right - left) * scale), round((bottom - top) * scale)
    picture = photo.resize(size, Image.Resampling.BICUBIC, (left, top, right, bottom))
    darkest, lightest = picture.getextrema()
    draw = ImageDraw.Draw(picture)
    half = guess.module * scale / 2
    for corner, (side, dark) in product(guess.corners, _SQUARES):
        middle = (corner - left - top * 1j) * scale
        ends = [middle + half * side * turn for turn in (1 + 1j, 1 - 1j, -1 - 1j, -1 + 1j)]
        draw.polygon([(end.real, end.imag) for end in ends], fill=darkest if dark else lightest)
    return picture


def _axes(points: list[complex]) -> tuple[list[float], list[float]]:
    return [point.real for point in points], [point.imag for point in points]
