"""Pages set as tagged PDF (PDF/UA-1) by the one renderer. The same page gives the same bytes; nothing is fetched.

Whatever a page refers to is handed over by name; any other address is refused, so that no page can reach the network
or a file of this machine. A sign that the fonts handed over lack is taken from one of this system's; one that no font
has, and one that nobody sees, is set as what it is, "⟨U+1F600⟩": no sign keeps a page from being set.
"""

import logging
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager, redirect_stdout
from importlib import import_module
from io import BytesIO, StringIO
from types import ModuleType
from typing import Any, NamedTuple

from torqueaudit.signs import seen, spelt

LIBRARIES = "libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0"


class Handed(NamedTuple):
    """What a name in a page stands for: its bytes and their media type ("font/ttf", "image/png")."""

    content: bytes
    kind: str


class NotSet(Exception):  # it says what happened
    """The page was not set; one sentence says why."""


def set_page(page: str, scheme: str, hand: Callable[[str], Handed | None]) -> bytes:
    """The PDF of an HTML page whose addresses read "scheme:name"; `hand` gives what a name stands for, None to refuse.

    Raises NotSet when the renderer's libraries are missing, when the disk takes no fonts for it, or when it warns of
    anything but a sign that no font has.
    """
    page = seen(page, lines=True)
    fonts: dict[str, bytes] = {}

    def handed(name: str) -> Handed | None:
        found = hand(name)
        if found is not None and found.kind.startswith("font/"):
            fonts[name] = found.content
        return found

    pdf, warnings = _set(page, scheme, handed)
    if warnings.lacking:
        pdf, warnings = _set(_spelt(page, warnings.lacking), scheme, handed)
    if warnings.says and (beyond := _beyond(page, fonts.values())):  # it may be a font of this system that is broken
        pdf, warnings = _set(_spelt(page, beyond), scheme, handed)
    if warnings.says:
        raise NotSet(f"the page was not set cleanly: {warnings.says[0]}")
    return pdf


def _set(page: str, scheme: str, hand: Callable[[str], Handed | None]) -> tuple[bytes, "_Warnings"]:
    """The page as it is set, and what the renderer warned of."""
    weasyprint = _weasyprint()
    from weasyprint.text.fonts import FontConfiguration  # half a second

    with _warnings() as warnings, _told_of_disk():
        html = weasyprint.HTML(string=page, url_fetcher=_fetcher(scheme, hand), base_url=f"{scheme}:")
        pdf: bytes = html.write_pdf(font_config=FontConfiguration(), pdf_variant="pdf/ua-1")
    return pdf, warnings


def _spelt(page: str, signs: Collection[str]) -> str:
    return page.translate({ord(sign): spelt(sign) for sign in signs})


def _beyond(page: str, fonts: Collection[bytes]) -> set[str]:
    """The signs of a page that not each of the fonts has."""
    from fontTools.ttLib import TTFont  # of the renderer

    signs = {sign for sign in page if sign.isprintable()}
    for font in fonts:
        with TTFont(BytesIO(font)) as read:
            signs &= set(map(chr, read.getBestCmap()))
    return {sign for sign in page if sign not in signs and _may_be_spelt(sign)}


def _may_be_spelt(sign: str) -> bool:
    """Markup is written in ASCII, also the space, which a font of this system may lack."""
    return not sign.isascii()


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
    """Collects what the renderer only logs: a broken style, a missing picture or font, an address refused.

    `lacking` are the signs that no font of this system has, of which it warns by their numbers.
    """

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.says: list[str] = []
        self.lacking: set[str] = set()

    def emit(self, record: logging.LogRecord) -> None:
        self.says.append(record.getMessage())
        if record.args and isinstance(record.args, tuple) and str(record.msg).startswith(".notdef"):
            self.lacking.update(filter(_may_be_spelt, map(str, record.args[:1])))


@contextmanager
def _told_of_disk() -> Iterator[None]:
    """What the disk says to the renderer, which writes the fonts for the system to read. Raises NotSet."""
    try:
        yield
    except OSError as error:
        from tempfile import gettempdir  # brings much with it

        where = error.filename or gettempdir()
        raise NotSet(
            f"the page was not set: {where}, where its fonts lie for that long, does not take them "
            f"({error.strerror or error}); free some space there, or name another folder in TMPDIR"
        ) from error


@contextmanager
def _warnings() -> Iterator[_Warnings]:
    log, warnings = logging.getLogger("weasyprint"), _Warnings()
    log.addHandler(warnings)
    try:
        yield warnings
    finally:
        log.removeHandler(warnings)
