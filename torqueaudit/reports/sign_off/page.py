"""A sign-off as tagged PDF. The same sign-off gives the same bytes; nothing is fetched."""

from importlib import resources

from torqueaudit.model.shown.sign_off import NO_FACTS, NOT_A_SCORE, NOTHING, SignOff
from torqueaudit.reports.errors import ReportRefused
from torqueaudit.reports.pdf import font_of
from torqueaudit.signs import seen
from torqueaudit.typesetting import NotSet, set_page

MOST_JOBS = 150


def sign_off_pdf(told: SignOff, most: int = MOST_JOBS) -> bytes:
    """The sign-off on paper, with at most so many of its jobs. Raises ReportRefused when it could not be set."""
    try:
        return set_page(sign_off_html(told, most), "report", font_of)
    except NotSet as error:
        raise ReportRefused(f"the PDF was not written: {error}") from error


def sign_off_html(told: SignOff, most: int = MOST_JOBS) -> str:
    """The page that is set on paper, to which the fonts are handed over."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    templates = Environment(
        loader=PackageLoader("torqueaudit.reports", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    page = templates.get_template("sign_off.html.jinja").render(
        told=told._replace(jobs=told.jobs[:most]),
        summary=[(says, jobs) for says, jobs in told.summary if jobs],
        nothing=NOTHING,
        not_a_score=NOT_A_SCORE,
        no_facts=NO_FACTS,
        left_out=max(len(told.jobs) - most, 0),
        style="".join(map(_style, ("nightly.css", "sign_off.css"))),
    )
    return seen(page, lines=True)


def _style(name: str) -> str:
    return (resources.files("torqueaudit.reports") / "templates" / name).read_text(encoding="utf-8")
