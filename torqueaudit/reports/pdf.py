"""The nightly report as tagged PDF (PDF/UA-1). The same night gives the same bytes; nothing is fetched."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from importlib import import_module, resources
from io import StringIO
from types import ModuleType
from typing import Any

from torqueaudit.model.report import ExtraSection, Night, NightSection
from torqueaudit.reports.errors import ReportRefused
from torqueaudit.reports.html import nightly_html

MOST_ROWS = 500
FONTS = frozenset({"DejaVuSans.ttf", "DejaVuSans-Bold.ttf"})
SCHEME = "report:font/"


def nightly_pdf(night: Night) -> bytes:
    """The report on paper, its first 500 rows. Raises ReportRefused when the renderer is missing or logs an error."""
    weasyprint = _weasyprint()
    from weasyprint.text.fonts import FontConfiguration

    short, left_out = shortened(night, MOST_ROWS)
    page = nightly_html(short, left_out=left_out, bundled_fonts=True)
    with _errors_refused():
        html = weasyprint.HTML(string=page, url_fetcher=_fetcher(), base_url="report:")
        pdf: bytes = html.write_pdf(font_config=FontConfiguration(), pdf_variant="pdf/ua-1")
    return pdf


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


def _fetcher() -> Any:
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class Bundled(URLFetcher):  # type: ignore[misc]
        """Answers with the bundled fonts and refuses every other address."""

        def fetch(self, url: str, headers: object = None) -> object:  # noqa: ARG002  # the renderer's signature
            name = url.removeprefix(SCHEME)
            if not url.startswith(SCHEME) or name not in FONTS:
                raise ValueError(f"a report may not fetch {url}")
            font = (resources.files("torqueaudit_labels") / "fonts" / name).read_bytes()
            return URLFetcherResponse(url, font, {"Content-Type": "font/ttf"})

    return Bundled(allowed_protocols={"report"})


def _weasyprint() -> ModuleType:
    try:
        with redirect_stdout(StringIO()):  # a missing library makes it print help among the command's output
            return import_module("weasyprint")
    except OSError as error:
        raise ReportRefused(
            f"the PDF needs the Pango library, which is not installed ({error.args[0]!s:.80}); install libpango-1.0-0, "
            "libpangoft2-1.0-0 and libharfbuzz-subset0, and run the night again"
        ) from error


class _Errors(logging.Handler):
    """Collects what the renderer only logs: a broken style, a missing font, an address refused."""

    def __init__(self) -> None:
        super().__init__(logging.ERROR)
        self.says: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.says.append(record.getMessage())


@contextmanager
def _errors_refused() -> Iterator[None]:
    log, errors = logging.getLogger("weasyprint"), _Errors()
    log.addHandler(errors)
    try:
        yield
    finally:
        log.removeHandler(errors)
    if errors.says:
        raise ReportRefused(f"the PDF was not rendered cleanly: {errors.says[0]}")
