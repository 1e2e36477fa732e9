"""A report as a page: rendered of its template and style sheets, and set as PDF with the bundled fonts."""

from importlib import resources
from typing import TYPE_CHECKING, Any

from torqueaudit.reports.errors import ReportRefused
from torqueaudit.typesetting import Archived, Handed, NotSet, set_page

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

FONTS = frozenset({"DejaVuSans.ttf", "DejaVuSansCondensed.ttf", "DejaVuSans-Bold.ttf"})


def rendered(
    template: str, styles: "Sequence[str]", filters: "Mapping[str, Callable[..., str]] | None" = None, **told: Any
) -> str:
    """The page of a template of this room, which is given the text of its style sheets as `style`, and what is told."""
    from jinja2 import Environment, PackageLoader, StrictUndefined  # most reports are asked for as text

    templates = Environment(
        loader=PackageLoader("torqueaudit.reports", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.filters.update(filters or {})
    return templates.get_template(template).render(style="".join(map(_style, styles)), **told)


def set_report(
    page: str, scheme: str, hand: "Callable[[str], Handed | None]", archived: Archived | None = None
) -> bytes:
    """The PDF of a page, see `set_page`. Raises ReportRefused when it could not be set."""
    try:
        return set_page(page, scheme, hand, archived)
    except NotSet as error:
        raise ReportRefused(f"the PDF was not written: {error}") from error


def font_of(name: str) -> Handed | None:
    """A bundled font by the name that a page refers to it by, "font/DejaVuSans.ttf"; None for anything else."""
    font = name.removeprefix("font/")
    if font not in FONTS:
        return None
    return Handed((resources.files("torqueaudit_labels") / "fonts" / font).read_bytes(), "font/ttf")


def _style(name: str) -> str:
    return (resources.files("torqueaudit.reports") / "templates" / name).read_text(encoding="utf-8")
