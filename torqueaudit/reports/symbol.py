"""A QR symbol (ISO/IEC 18004): a drawing that stands in a page, lines for a terminal, a picture."""

from collections.abc import Iterator, Sequence
from html import escape
from io import BytesIO
from itertools import groupby, zip_longest
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from qrcode.main import QRCode

QUIET_ZONE = 4  # modules on each side
_BLOCKS = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def text_symbol(text: str, title: str) -> str:
    """The symbol of a text's UTF-8 bytes, 1 unit a module; `title` is its alternative text.

    Its side is the number of modules. Level M: a report is read from fresh paper or a screen.
    """
    return symbol_drawing(_made(text).get_matrix(), title)


def symbol_drawing(rows: Sequence[Sequence[bool]], title: str) -> str:
    """A symbol as SVG that stands in a page, 1 unit a module, one path of whole rows; `title` is its alternative text.

    `rows` are its modules with the quiet zone, row by row; True is a dark one. A file of its own names the namespace.
    """
    side = len(rows)
    dark = "".join(f"M{left} {row}h{width}v1h-{width}z" for left, row, width in _runs(rows))
    return (
        f'<svg viewBox="0 0 {side} {side}" role="img" shape-rendering="crispEdges"><title>{escape(title)}</title>'
        f'<path fill="#fff" d="M0 0h{side}v{side}H0z"/><path d="{dark}"/></svg>'
    )


def block_symbol(text: str) -> Iterator[str]:
    """The symbol of a text in lines, two rows of modules in each, which are to be shown dark on light."""
    rows = _made(text).get_matrix()
    light = [False] * len(rows)
    for upper, lower in zip_longest(rows[::2], rows[1::2], fillvalue=light):
        yield "".join(_BLOCKS[bool(top), bool(bottom)] for top, bottom in zip(upper, lower, strict=True))


def png_symbol(text: str) -> bytes:
    """The symbol of a text as a PNG, ten pixels a module."""
    file = BytesIO()
    _made(text).make_image().save(file)
    return file.getvalue()


def _made(text: str) -> "QRCode":
    import qrcode  # slow to load, and most reports are asked for as text

    code = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_M, border=QUIET_ZONE)
    code.add_data(text.encode(), optimize=0)
    code.make()
    return code


def _runs(rows: Sequence[Sequence[bool]]) -> Iterator[tuple[int, int, int]]:
    """Each run of dark modules: its left, its row, its width."""
    for number, row in enumerate(rows):
        left = 0
        for is_dark, run in groupby(row):
            width = len(list(run))
            if is_dark:
                yield left, number, width
            left += width
