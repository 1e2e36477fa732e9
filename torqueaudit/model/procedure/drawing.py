"""A small drawing beside a choice: strokes as data, drawn by the pages in their own colours, by day and at night."""

import re
from typing import Literal, NamedTuple, TypeAlias, get_args

Look: TypeAlias = Literal["thin", "thick", "solid"]

LARGEST, LONGEST = 400, 2000  # units of a side; characters of a path
_PATH = re.compile(r"[Mm][MmLlHhVvCcSsQqTtAaZz0-9., -]+")


class Stroke(NamedTuple):
    """A line, thin or thick, or a solid shape, in the notation of SVG 2, 9.3: Stroke("M8 10h104", "thin")."""

    path: str
    look: Look


class Drawing(NamedTuple):
    """A drawing in units of its own, from the upper left corner; a later stroke lies over an earlier one."""

    width: int
    height: int
    strokes: tuple[Stroke, ...]


def require_drawing(drawing: object) -> None:
    """Raise ValueError unless a page can draw what a plugin gives: strokes alone, of a size that fits beside words."""
    if not isinstance(drawing, Drawing):
        raise ValueError("it is no Drawing")  # noqa: TRY004 -- told like all else that is wrong with a kind
    if not all(0 < side <= LARGEST for side in (drawing.width, drawing.height)):
        raise ValueError(f"its sides are from 1 to {LARGEST}")
    for stroke in drawing.strokes:
        if stroke.look not in get_args(Look):
            raise ValueError(f"a stroke of it is none that is {', '.join(get_args(Look))}")
        if len(stroke.path) > LONGEST or not _PATH.fullmatch(stroke.path):
            raise ValueError(f"“{stroke.path[:20]}” is no path that starts with M")
