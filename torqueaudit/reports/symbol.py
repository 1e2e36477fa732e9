"""A QR symbol as a drawing that stands in a page (ISO/IEC 18004)."""

from collections.abc import Iterator, Sequence
from html import escape
from itertools import groupby

QUIET_ZONE = 4  # modules on each side


def text_symbol(text: str, title: str) -> str:
    """The symbol of a text's UTF-8 bytes, 1 unit a module; `title` is its alternative text.

    Its side is the number of modules. Level M: a report is read from fresh paper or a screen.
    """
    import qrcode  # slow to load, and most reports are asked for as text

    code = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_M, border=QUIET_ZONE)
    code.add_data(text.encode(), optimize=0)
    code.make()
    return symbol_drawing(code.get_matrix(), title)


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


def _runs(rows: Sequence[Sequence[bool]]) -> Iterator[tuple[int, int, int]]:
    """Each run of dark modules: its left, its row, its width."""
    for number, row in enumerate(rows):
        left = 0
        for is_dark, run in groupby(row):
            width = len(list(run))
            if is_dark:
                yield left, number, width
            left += width
