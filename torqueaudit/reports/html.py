"""The nightly report as one HTML page that needs nothing else: no script, no picture, no other file."""

from importlib import resources

from torqueaudit.model.register.distance import distance_text
from torqueaudit.model.shown.night import Line, Night
from torqueaudit.reports.symbol import text_symbol
from torqueaudit.signs import seen
from torqueaudit.workshop.night.night import MISSED, NOT_AUDITED

VERDICTS = ("Nothing was missed.", "Something was missed.", "Not everything could be audited.")


def nightly_html(night: Night, *, left_out: int = 0, bundled_fonts: bool = False) -> str:
    """The page. `left_out` lines are told to be missing from it; `bundled_fonts` is for the PDF renderer alone.

    A sign that nobody sees is shown as what it is, "⟨U+202E⟩".
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    templates = Environment(
        loader=PackageLoader("torqueaudit.reports", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.filters["late"] = late_text
    style = (resources.files("torqueaudit.reports") / "templates" / "nightly.css").read_text(encoding="utf-8")
    marks = {section.key: _mark(section.key, section.lines) for section in night.sections}
    page = templates.get_template("nightly.html.jinja").render(
        night=night,
        verdict=VERDICTS[night.exit_code],
        marks=marks,
        style=style,
        left_out=left_out,
        bundled_fonts=bundled_fonts,
        symbol=text_symbol(night.seal.note, "The checkpoint as a QR code") if night.seal else "",
    )
    return seen(page, lines=True)


def late_text(line: Line) -> str:
    """How late a line is: "9 days, 120 km"; "" where nothing is late."""
    days = f"{line.days_late} day{'s' * (line.days_late > 1)}" if line.days_late else ""
    far = distance_text(line.metres_late) if line.metres_late else ""
    return ", ".join(part for part in (days, far) if part)


def _mark(key: str, lines: tuple[Line, ...]) -> str:
    """Which witness line stands before a heading: whole, offset where something was missed, dotted where unknown."""
    if not lines:
        return "intact"
    return "unreadable" if key == NOT_AUDITED else "disturbed" if key in MISSED else "intact"
