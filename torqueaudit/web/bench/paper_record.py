"""The record of a job as a PDF from the pages, for whoever hands a motorcycle over."""

from threading import Lock
from typing import TYPE_CHECKING

from flask import make_response

from torqueaudit.reports.paper_record import file_name, record_pdf
from torqueaudit.workshop.paper.record import paper_of

if TYPE_CHECKING:
    from flask import Flask, Response

    from torqueaudit.workshop.door.workshop import Workshop


def add_paper_record(app: "Flask", workshop: "Workshop") -> None:
    """Add /job/NUMBER/record.pdf. One is set after the other: each takes a processor for about a second."""
    one_by_one = Lock()

    @app.get("/job/<number>/record.pdf")
    def job_record(number: str) -> "Response":
        """Give the record of a job as a PDF."""
        with one_by_one:
            record, photos = paper_of(workshop, number)
            answer = make_response(record_pdf(record, photos))
        answer.headers["Content-Type"] = "application/pdf"
        answer.headers["Content-Disposition"] = f'inline; filename="{file_name(record.job, "pdf")}"'
        return answer
