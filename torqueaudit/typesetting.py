"""Pages set as tagged PDF by the one renderer. The same page gives the same bytes; nothing is fetched.

A page is set for whoever reads it now (PDF/UA-1), or to be kept, with a file in it (PDF/A-3a, ISO 19005-3).

Whatever a page refers to is handed over by name; any other address is refused, so that no page can reach the network
or a file of this machine. A sign that the fonts handed over lack is taken from one of this system's; one that no font
has, and one that nobody sees, is set as what it is, "⟨U+1F600⟩": no sign keeps a page from being set.
"""

import logging
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager, nullcontext, redirect_stdout
from datetime import UTC, datetime
from importlib import import_module
from io import BytesIO, StringIO
from types import ModuleType
from typing import Any, NamedTuple
from warnings import catch_warnings, simplefilter

from torqueaudit.signs import seen, spelt

LIBRARIES = "libpango-1.0-0, libpangoft2-1.0-0 and libharfbuzz-subset0"


class Handed(NamedTuple):
    """What a name in a page stands for: its bytes and their media type ("font/ttf", "image/png")."""

    content: bytes
    kind: str


class Archived(NamedTuple):
    """What a page that is kept holds besides: a file by its name with what it is, and the moment (aware) of both.

    `identifier` is the same for whatever is a later state of the same document (ISO 32000-1, 14.4).
    """

    identifier: str
    at: datetime
    name: str
    says: str
    content: bytes


class NotSet(Exception):  # it says what happened
    """The page was not set; one sentence says why."""


def set_page(page: str, scheme: str, hand: Callable[[str], Handed | None], archived: Archived | None = None) -> bytes:
    """The PDF of an HTML page whose addresses read "scheme:name"; `hand` gives what a name stands for, None to refuse.

    With `archived` it is one that is kept. Raises NotSet when the renderer's libraries are missing, when the disk takes
    no fonts for it, or when it warns of anything but a sign that no font has.
    """
    page = seen(page, lines=True)
    fonts: dict[str, bytes] = {}

    def handed(name: str) -> Handed | None:
        found = hand(name)
        if found is not None and found.kind.startswith("font/"):
            fonts[name] = found.content
        return found

    pdf, warnings = _set(page, scheme, handed, archived)
    if warnings.lacking:
        pdf, warnings = _set(_spelt(page, warnings.lacking), scheme, handed, archived)
    if warnings.says and (beyond := _beyond(page, fonts.values())):  # it may be a font of this system that is broken
        pdf, warnings = _set(_spelt(page, beyond), scheme, handed, archived)
    if warnings.says:
        raise NotSet(f"the page was not set cleanly: {warnings.says[0]}")
    return pdf


def _set(
    page: str, scheme: str, hand: Callable[[str], Handed | None], archived: Archived | None
) -> tuple[bytes, "_Warnings"]:
    """The page as it is set, and what the renderer warned of."""
    weasyprint = _weasyprint()
    from weasyprint.text.fonts import FontConfiguration  # half a second

    with _warnings() as warnings, _told_of_disk(), _profile_left_open() if archived else nullcontext():
        html = weasyprint.HTML(string=page, url_fetcher=_fetcher(scheme, hand), base_url=f"{scheme}:")
        options = _archiving(archived) if archived else {"pdf_variant": "pdf/ua-1"}
        pdf: bytes = html.write_pdf(font_config=FontConfiguration(), **options)
    return pdf, warnings


def _archiving(archived: Archived) -> dict[str, Any]:
    """How the renderer makes a PDF that is kept. An attachment serves once, so this is asked for each setting."""
    from weasyprint import Attachment

    at = archived.at.astimezone(UTC)
    file = BytesIO(archived.content)
    attachment = Attachment(
        file_obj=file, name=archived.name, description=archived.says, created=at, modified=at, relationship="Data"
    )
    return {
        "pdf_variant": "pdf/a-3a",
        "pdf_identifier": archived.identifier.encode(),
        "attachments": [attachment],
        "finisher": _each_once,
    }


@contextmanager
def _profile_left_open() -> Iterator[None]:
    """The renderer leaves the file of its colour profile to be closed by itself, which is warned of."""
    with catch_warnings():
        simplefilter("ignore", ResourceWarning)
        yield


def _each_once(_: object, pdf: Any) -> None:
    """Name each file that belongs to a PDF once among those: the renderer does so twice."""
    files = pdf.catalog["AF"]
    files[:] = dict.fromkeys(files)


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
