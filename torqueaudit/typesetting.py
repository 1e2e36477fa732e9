"""Pages set as tagged PDF (PDF/UA-1) by the one renderer. The same page gives the same bytes; nothing is fetched.

Whatever a page refers to is handed over by name; any other address is refused, so that no page can reach the network
or a file of this machine.
"""

import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stdout
from importlib import import_module
from io import StringIO
from types import ModuleType
from typing import Any, NamedTuple

LIBRARIES = "libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0"


class Handed(NamedTuple):
    """What a name in a page stands for: its bytes and their media type ("font/ttf", "image/png")."""

    content: bytes
    kind: str


class NotSet(Exception):  # it says what happened
    """The page was not set; one sentence says why."""


def set_page(page: str, scheme: str, hand: Callable[[str], Handed | None]) -> bytes:
    """The PDF of an HTML page whose addresses read "scheme:name"; `hand` gives what a name stands for, None to refuse.

    Raises NotSet when the renderer's libraries are missing, or when it warns of anything.
    """
    weasyprint = _weasyprint()
    from weasyprint.text.fonts import FontConfiguration  # half a second

    with _warnings_refused():
        html = weasyprint.HTML(string=page, url_fetcher=_fetcher(scheme, hand), base_url=f"{scheme}:")
        pdf: bytes = html.write_pdf(font_config=FontConfiguration(), pdf_variant="pdf/ua-1")
    return pdf


def _fetcher(scheme: str, hand: Callable[[str], Handed | None]) -> Any:
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class Handing(URLFetcher):  # type: ignore[misc]
        """Answers with what was handed over, and refuses every other address."""

        def fetch(self, url: str, headers: object = None) -> object:  # noqa: ARG002  # the renderer's signature
            found = hand(url.removeprefix(f"{scheme}:")) if url.startswith(f"{scheme}:") else None
            if found is None:
                raise ValueError(f"a {scheme} may not fetch {url}")
            return URLFetcherResponse(url, found.content, {"Content-Type": found.kind})

    return Handing(allowed_protocols={scheme})


def _weasyprint() -> ModuleType:
    try:
        with redirect_stdout(StringIO()):  # a missing library makes it print help among the command's output
            return import_module("weasyprint")
    except OSError as error:
        raise NotSet(f"the Pango library is not installed ({error.args[0]!s:.80}); install {LIBRARIES}") from error


class _Warnings(logging.Handler):
    """Collects what the renderer only logs: a broken style, a missing picture or font, an address refused."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.says: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.says.append(record.getMessage())


@contextmanager
def _warnings_refused() -> Iterator[None]:
    log, warnings = logging.getLogger("weasyprint"), _Warnings()
    log.addHandler(warnings)
    try:
        yield
    finally:
        log.removeHandler(warnings)
    if warnings.says:
        raise NotSet(f"the page was not set cleanly: {warnings.says[0]}")
