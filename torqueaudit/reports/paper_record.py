"""The record of a job as a PDF that is kept (PDF/A-3a), with the record as JSON in it. Nothing is fetched."""

import json
from functools import partial
from importlib import resources
from typing import TYPE_CHECKING

from torqueaudit.reports.chart import draw
from torqueaudit.reports.errors import ReportRefused
from torqueaudit.reports.json.job import record_json
from torqueaudit.reports.symbol import text_symbol
from torqueaudit.signs import seen
from torqueaudit.typesetting import Archived, Handed, NotSet, set_page

if TYPE_CHECKING:
    from collections.abc import Mapping

    from torqueaudit.model.shown.job import JobView
    from torqueaudit.model.shown.paper_record import PaperRecord

FONTS = frozenset({"DejaVuSansCondensed.ttf", "DejaVuSans-Bold.ttf"})


def record_pdf(record: "PaperRecord", photos: "Mapping[str, bytes]") -> bytes:
    """The record on paper; `photos` are the small ones by their digests. Raises ReportRefused when it was not set."""
    job = record.job
    archived = Archived(
        identifier=f"torqueaudit {job.book.site} job {job.number}",
        at=job.book.asked_at,
        name=file_name(job, "json"),
        says=f"The record of job {job.number} for programs",
        content=f"{json.dumps(record_json(job), ensure_ascii=False, indent=2)}\n".encode(errors="backslashreplace"),
    )
    try:
        return set_page(record_html(record), "record", partial(_handed, photos), archived)
    except NotSet as error:
        raise ReportRefused(f"the PDF was not written: {error}") from error


def file_name(job: "JobView", ending: str) -> str:
    """What a file of the record of a job is called: "job-12.pdf"."""
    return f"job-{job.number}.{ending}"


def record_html(record: "PaperRecord") -> str:
    """The page that is set."""
    from jinja2 import Environment, PackageLoader, StrictUndefined

    templates = Environment(
        loader=PackageLoader("torqueaudit.reports", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    label = record.label
    page = templates.get_template("paper-record.html.jinja").render(
        record=record,
        job=record.job,
        draw=draw,
        attached=file_name(record.job, "json"),
        symbol=text_symbol(label.address, f"QR code that opens {label.address}") if label else "",
        style=(resources.files("torqueaudit.reports") / "templates" / "paper-record.css").read_text(encoding="utf-8"),
    )
    return seen(page, lines=True)


def _handed(photos: "Mapping[str, bytes]", name: str) -> Handed | None:
    kind, _, key = name.partition("/")
    if kind == "photo" and key in photos:
        return Handed(photos[key], "image/jpeg")
    if kind != "font" or key not in FONTS:
        return None
    return Handed((resources.files("torqueaudit_labels") / "fonts" / key).read_bytes(), "font/ttf")
