"""The witness line as an emblem: a stroke across a hexagon nut and onto the part below it."""

from functools import lru_cache
from math import cos, pi, sin

from PIL import Image, ImageDraw

from torqueaudit_plugins.qr_labels.calc.symbol import DARKEST_WHITE

_FINER = 4  # drawn larger and reduced, so that slanted edges are smooth before they become dots


@lru_cache(maxsize=32)
def draw_emblem(side: int) -> Image.Image:
    """Draw the emblem, greyscale, side x side dots."""
    full = side * _FINER
    picture = Image.new("L", (full, full), 255)
    draw = ImageDraw.Draw(picture)
    draw.polygon(_hexagon(full, 0.5), fill=0)
    draw.ellipse(_circle(full, 0.21), fill=255)
    draw.line(_stroke(full), fill=255, width=round(full * 0.17))
    draw.line(_stroke(full), fill=0, width=round(full * 0.085))
    return picture.resize((side, side), Image.Resampling.LANCZOS).point(lambda grey: 255 * (grey >= DARKEST_WHITE))


def _hexagon(side: float, radius: float) -> list[tuple[float, float]]:
    turns = (pi / 3 * corner for corner in range(6))
    return [(side * (0.5 + radius * cos(turn)), side * (0.5 + radius * sin(turn))) for turn in turns]


def _circle(side: float, radius: float) -> tuple[float, float, float, float]:
    return side * (0.5 - radius), side * (0.5 - radius), side * (0.5 + radius), side * (0.5 + radius)


def _stroke(side: float) -> list[tuple[float, float]]:
    return [(side * 0.3, side * 1.0), (side * 0.7, 0)]
