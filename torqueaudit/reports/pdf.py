"""The nightly report as tagged PDF. The same night gives the same bytes; nothing is fetched."""

from functools import partial
from importlib import resources
from typing import TYPE_CHECKING

from torqueaudit.model.shown.night import Night, NightSection
from torqueaudit.model.shown.trends import Trends
from torqueaudit.reports.errors import ReportRefused
from torqueaudit.reports.html import nightly_html
from torqueaudit.reports.trends import trend_pictures
from torqueaudit.typesetting import Handed, NotSet, set_page

if TYPE_CHECKING:
    from torqueaudit.model.shown.section import ExtraSection

MOST_ROWS = 500
FONTS = frozenset({"DejaVuSans.ttf", "DejaVuSans-Bold.ttf"})


def nightly_pdf(night: Night) -> bytes:
    """The report on paper, its first 500 rows. Raises ReportRefused when it could not be set."""
    short, left_out = shortened(night, MOST_ROWS)
    try:
        page = nightly_html(short, left_out=left_out, bundled_fonts=True)
        return set_page(page, "report", partial(_handed, night.trends))
    except NotSet as error:
        raise ReportRefused(f"the PDF was not written: {error}") from error


def _handed(trends: Trends, name: str) -> Handed | None:
    for picture in trend_pictures(trends) if name.startswith("picture/") else ():
        if name == f"picture/{picture.name}":
            return Handed(picture.svg, "image/svg+xml")
    return font_of(name)


def font_of(name: str) -> Handed | None:
    """A bundled font by the name that a page refers to it by, "font/DejaVuSans.ttf"; None for anything else."""
    font = name.removeprefix("font/")
    if font not in FONTS:
        return None
    return Handed((resources.files("torqueaudit_labels") / "fonts" / font).read_bytes(), "font/ttf")


def shortened(night: Night, most: int) -> tuple[Night, int]:
    """The night with at most `most` rows, from its beginning, and how many were left out."""
    left, out = most, 0
    sections: list[NightSection] = []
    for section in night.sections:
        sections.append(section._replace(lines=section.lines[:left]))
        out += max(len(section.lines) - left, 0)
        left = max(left - len(section.lines), 0)
    extra: list[ExtraSection] = []
    for added in night.extra:
        extra.append(added._replace(rows=added.rows[:left]))
        out += max(len(added.rows) - left, 0)
        left = max(left - len(added.rows), 0)
    return night._replace(sections=tuple(sections), extra=tuple(extra)), out
