"""Sheets of labels as a tagged PDF. Nothing is fetched: fonts and pictures are handed to the renderer by name."""

import gc
import logging
from collections.abc import Iterator
from contextlib import contextmanager, redirect_stdout
from importlib import import_module, resources
from io import BytesIO, StringIO
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.model.label import LabelContent
from torqueaudit_plugins.qr_labels.emblem import draw_emblem
from torqueaudit_plugins.qr_labels.layout import Layout, lay_out
from torqueaudit_plugins.qr_labels.stock import LabelRefused, Stock
from torqueaudit_plugins.qr_labels.symbol import draw_symbol
from torqueaudit_plugins.qr_labels.text import font_bytes

if TYPE_CHECKING:
    from types import ModuleType

    from PIL import Image


class Placed(NamedTuple):
    """One label at its place: page from 0, left and top on it in dots."""

    number: int
    page: int
    left: int
    top: int
    address: str
    figure: str
    layout: Layout


def place(contents: list[LabelContent], stock: Stock, start: int = 1) -> list[Placed]:
    """Give every label its place, the first at position `start` (from 1) of a sheet that may be partly used."""
    if not 1 <= start <= stock.per_page:
        raise LabelRefused(f"stock {stock.name} has positions 1 to {stock.per_page}; there is no position {start}.")
    placed = []
    for number, content in enumerate(contents):
        page, position = divmod(start - 1 + number, stock.per_page)
        left, top = stock.origin(position)
        placed.append(Placed(number, page, left, top, content.address, content.figure, lay_out(content, stock)))
    return placed


def write_sheets(placed: list[Placed], title: str, stock: Stock) -> bytes:
    """Render PDF/UA-1. The same labels give the same bytes. Raises LabelRefused when rendering reports an error."""
    weasyprint = _weasyprint()
    from weasyprint.text.fonts import FontConfiguration  # half a second

    page = _html(placed, title, stock)
    with _errors_refused(), _without_garbage_collection():
        fonts = FontConfiguration()
        html = weasyprint.HTML(string=page, url_fetcher=_fetcher(placed), base_url="label:")
        pdf: bytes = html.write_pdf(font_config=fonts, pdf_variant="pdf/ua-1")
    return pdf


def _html(placed: list[Placed], title: str, stock: Stock) -> str:
    from jinja2 import Environment, PackageLoader, StrictUndefined  # only for sheets

    templates = Environment(
        loader=PackageLoader("torqueaudit_labels", "templates"), autoescape=True, undefined=StrictUndefined
    )
    templates.filters["inch"] = lambda dots: f"{dots / stock.dpi:.5f}in"
    style = (resources.files("torqueaudit_labels") / "templates" / "sheet.css").read_text(encoding="utf-8")
    pages = [[label for label in placed if label.page == page] for page in range(placed[-1].page + 1)]
    return templates.get_template("sheet.html.jinja").render(
        title=title, style=style, pages=pages, page_mm=stock.page_mm
    )


def _fetcher(placed: list[Placed]) -> Any:
    from weasyprint.urls import URLFetcher, URLFetcherResponse  # half a second

    class Bundled(URLFetcher):  # type: ignore[misc]
        """Answers `label:` names from memory and refuses every other address."""

        def fetch(self, url: str, headers: object = None) -> object:  # noqa: ARG002 (the renderer's signature)
            kind, _, name = url.removeprefix("label:").partition("/")
            if not url.startswith("label:") or kind not in {"font", "emblem", "symbol"}:
                message = f"a label may not fetch {url}"
                raise ValueError(message)
            if kind == "font":
                return URLFetcherResponse(url, font_bytes(bold=name == "bold"), {"Content-Type": "font/ttf"})
            picture = draw_emblem(int(name)) if kind == "emblem" else draw_symbol(placed[int(name)].address)
            return URLFetcherResponse(url, _png(picture), {"Content-Type": "image/png"})

    return Bundled(allowed_protocols={"label"})


def _png(picture: "Image.Image") -> bytes:
    target = BytesIO()
    picture.save(target, "PNG")
    return target.getvalue()


def _weasyprint() -> "ModuleType":
    try:
        with redirect_stdout(StringIO()):  # a missing library makes it print help among the command's output
            return import_module("weasyprint")
    except OSError as error:
        raise LabelRefused(
            f"sheets need the Pango library, which is not installed ({error.args[0]!s:.80}); install libpango-1.0-0, "
            "libpangoft2-1.0-0 and libharfbuzz-subset0, or use a roll stock, which needs none of them."
        ) from error


class _Errors(logging.Handler):
    """Collects what the renderer only logs: a broken style, a missing picture or font, an address refused."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
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
        raise LabelRefused(f"the sheet was not rendered cleanly: {errors.says[0]}; nothing is written.")


@contextmanager
def _without_garbage_collection() -> Iterator[None]:
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
