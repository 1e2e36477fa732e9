"""The nightly report as tagged PDF. The same night gives the same bytes; nothing is fetched."""

from functools import partial
from typing import TYPE_CHECKING

from torqueaudit.model.shown.night import Night, NightSection
from torqueaudit.model.shown.trends import Trends
from torqueaudit.reports.html import nightly_html
from torqueaudit.reports.page import font_of, set_report
from torqueaudit.reports.trends import trend_pictures
from torqueaudit.typesetting import Handed

if TYPE_CHECKING:
    from torqueaudit.model.shown.section import ExtraSection

MOST_ROWS = 500


def nightly_pdf(night: Night) -> bytes:
    """The report on paper, its first 500 rows. Raises ReportRefused when it could not be set."""
    short, left_out = shortened(night, MOST_ROWS)
    page = nightly_html(short, left_out=left_out, bundled_fonts=True)
    return set_report(page, "report", partial(_handed, night.trends))


def _handed(trends: Trends, name: str) -> Handed | None:
    for picture in trend_pictures(trends) if name.startswith("picture/") else ():
        if name == f"picture/{picture.name}":
            return Handed(picture.svg, "image/svg+xml")
    return font_of(name)


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
