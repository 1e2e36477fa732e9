"""The record of a job as a PDF that is kept (PDF/A-3a), with the record as JSON in it. Nothing is fetched."""

from functools import partial
from typing import TYPE_CHECKING

from torqueaudit.reports.chart import draw
from torqueaudit.reports.json.job import record_json
from torqueaudit.reports.json.values import json_file
from torqueaudit.reports.page import font_of, rendered, set_report
from torqueaudit.reports.symbol import text_symbol
from torqueaudit.typesetting import Archived, Handed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from torqueaudit.model.shown.job import JobView
    from torqueaudit.model.shown.paper_record import PaperRecord


def record_pdf(record: "PaperRecord", photos: "Mapping[str, bytes]") -> bytes:
    """The record on paper; `photos` are the small ones by their digests. Raises ReportRefused when it was not set."""
    job = record.job
    archived = Archived(
        identifier=f"torqueaudit {job.book.site} job {job.number}",
        at=job.book.asked_at,
        name=file_name(job, "json"),
        says=f"The record of job {job.number} for programs",
        content=json_file(record_json(job)),
    )
    return set_report(_page(record), "record", partial(_handed, photos), archived)


def file_name(job: "JobView", ending: str) -> str:
    """What a file of the record of a job is called: "job-12.pdf"."""
    return f"job-{job.number}.{ending}"


def _page(record: "PaperRecord") -> str:
    label = record.label
    return rendered(
        "paper-record.html.jinja",
        ["paper-record.css"],
        record=record,
        job=record.job,
        draw=draw,
        attached=file_name(record.job, "json"),
        symbol=text_symbol(label.address, f"QR code that opens {label.address}") if label else "",
    )


def _handed(photos: "Mapping[str, bytes]", name: str) -> Handed | None:
    kind, _, key = name.partition("/")
    if kind == "photo" and key in photos:
        return Handed(photos[key], "image/jpeg")
    return font_of(name)
