"""The nightly report as one HTML page that needs nothing else: no script, no picture, no other file."""

from base64 import b64encode
from functools import partial
from typing import TYPE_CHECKING

from torqueaudit.model.shown.night import Line, Night
from torqueaudit.model.shown.owner import NO_BREAK
from torqueaudit.model.shown.rows import Row, call_text, count_text, folded
from torqueaudit.reports.page import rendered
from torqueaudit.reports.symbol import text_symbol
from torqueaudit.reports.trends import Picture, trend_pictures
from torqueaudit.signs import seen
from torqueaudit.workshop.night.sections import MISSED, NOT_AUDITED

if TYPE_CHECKING:
    from collections.abc import Callable

# The sections that somebody acts on today; the others are folded on a screen.
OPEN = MISSED | {NOT_AUDITED, "for-the-foreman", "concessions"}
VERDICTS = ("Nothing was missed.", "Something was missed.", "Not everything could be audited.")


def nightly_html(night: Night, *, left_out: int = 0, bundled_fonts: bool = False) -> str:
    """The page. `left_out` lines are told to be missing from it.

    `bundled_fonts` is for the PDF renderer alone, to which fonts and pictures are handed over.

    A sign that nobody sees is shown as what it is, "⟨U+202E⟩".
    """
    filters: dict[str, Callable[..., str]] = {
        "late": late_text,
        "count": count_text,
        "call": partial(call_text, unreached=night.unreached),
        "address": _handed_over if bundled_fonts else _within,
    }
    page = rendered(
        "nightly.html.jinja",
        # The PDF renderer knows no width of a screen.
        ["nightly.css"] if bundled_fonts else ["nightly.css", "nightly-phone.css"],
        filters,
        night=night,
        folds=tuple(folded(night.sections)),
        open=OPEN,
        pictures=trend_pictures(night.trends),
        verdict=VERDICTS[night.exit_code],
        marks={section.key: _mark(section.key, section.lines) for section in night.sections},
        left_out=left_out,
        bundled_fonts=bundled_fonts,
        symbol=text_symbol(night.seal.note, "The checkpoint as a QR code") if night.seal else "",
    )
    return seen(page, lines=True)


def _within(picture: Picture) -> str:
    """The picture itself as an address (RFC 2397), because a page that is kept needs no other file."""
    return f"data:image/svg+xml;base64,{b64encode(picture.svg).decode()}"


def _handed_over(picture: Picture) -> str:
    return f"report:picture/{picture.name}"


def late_text(row: Row) -> str:
    """How late a row is: "9 days, 120 km", each unbroken; "" where nothing is late."""
    days = f"{row.days_late} day{'s' * (row.days_late > 1)}" if row.days_late else ""
    return ", ".join(part.replace(" ", NO_BREAK) for part in (days, row.late_far) if part)


def _mark(key: str, lines: tuple[Line, ...]) -> str:
    """Which witness line stands before a heading: whole, offset where something was missed, dotted where unknown."""
    if not lines:
        return "intact"
    return "unreadable" if key == NOT_AUDITED else "disturbed" if key in MISSED else "intact"
