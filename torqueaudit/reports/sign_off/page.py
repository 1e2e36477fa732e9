"""A sign-off as tagged PDF. The same sign-off gives the same bytes; nothing is fetched."""

from torqueaudit.model.shown.sign_off import SignOff
from torqueaudit.reports.page import font_of, rendered, set_report

MOST_JOBS = 150


def sign_off_pdf(told: SignOff, most: int = MOST_JOBS) -> bytes:
    """The sign-off on paper, with at most so many of its jobs. Raises ReportRefused when it could not be set."""
    return set_report(sign_off_html(told, most), "report", font_of)


def sign_off_html(told: SignOff, most: int = MOST_JOBS) -> str:
    """The page that is set on paper, to which the fonts are handed over."""
    return rendered(
        "sign_off.html.jinja",
        ["nightly.css", "sign_off.css"],
        told=told,
        jobs=told.jobs[:most],
        left_out=max(len(told.jobs) - most, 0),
    )
