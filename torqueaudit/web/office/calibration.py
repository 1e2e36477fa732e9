"""A calibration typed from its certificate, with the certificate's file beside it, and a check on the own tester."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from flask import make_response, request

from torqueaudit.book import papers
from torqueaudit.book.errors import BookError
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.torque.units import NEWTON_METRE
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench
from torqueaudit.model.wrench.classes import CLASSES, READINGS
from torqueaudit.read.adapter import read_adapter
from torqueaudit.read.day import read_day, read_hour
from torqueaudit.read.number import read_wrench_number
from torqueaudit.read.points import read_share
from torqueaudit.read.wrench import read_temperature
from torqueaudit.web.office.points import FOUND, LEFT, PointFields, at_point, names_of, points_told
from torqueaudit.web.office.told import AtField, Sent, at_field, page_of_office, read_at, told
from torqueaudit.web.office.wrenches import SIDES, units_of
from torqueaudit.web.told import Told, page_of
from torqueaudit.web.typed import Typed
from torqueaudit.web.waking import FILE_LEFT
from torqueaudit.workshop.wrenches.calibrations import calibrate, check_wrench
from torqueaudit.workshop.wrenches.wrench import require_wrench

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

KINDS = {".pdf": "application/pdf", ".png": "image/png", ".jpg": "image/jpeg"}
NO_FILE = Told("No certificate here", "No file was kept with this calibration, or it is lost.", 404)
SENT_NAME = 60  # characters of a file's own name that are shown again


def add_calibration_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the pages on which a wrench is calibrated and checked, and the certificate's file."""
    certificate_page, check_page = (partial(_page, template=each) for each in ("calibrate.html", "check.html"))

    @app.get("/office/wrench/<number>/calibrate")
    def office_calibration(number: str) -> str:
        """Ask for what a certificate says."""
        return certificate_page(workshop, read_wrench_number(number))

    @app.post("/office/wrench/<number>/calibrate")
    def office_calibrated(number: str) -> "ResponseReturnValue":
        """Record a calibration, and lead to what it makes of the wrench."""
        own = read_wrench_number(number)
        return told(workshop, f"wrench/{own}", {"calibrate": _calibrated}, certificate_page, workshop, own)

    @app.get("/office/wrench/<number>/check")
    def office_check(number: str) -> str:
        """Ask for what the workshop's own tester showed."""
        return check_page(workshop, read_wrench_number(number))

    @app.post("/office/wrench/<number>/check")
    def office_checked(number: str) -> "ResponseReturnValue":
        """Record a look on the tester, and lead to what it makes of the wrench."""
        own = read_wrench_number(number)
        return told(workshop, f"wrench/{own}", {"check": _checked}, check_page, workshop, own)

    @app.get("/office/wrench/<number>/certificate/<int:entry>")
    def office_certificate(number: str, entry: int) -> "ResponseReturnValue":
        """Give the file of a certificate."""
        return _certificate(workshop, read_wrench_number(number), entry)


def _page(workshop: "Workshop", own: str, sent: Sent | None = None, *, template: str) -> str:
    wrench = require_wrench(workshop, own)
    return page_of_office(
        workshop,
        template,
        sent,
        subject=f"wrench/{own}",
        wrench=wrench,
        units=units_of(workshop),
        unit=wrench.scales[0].unit if wrench.scales else NEWTON_METRE.symbol,
        found=names_of(FOUND),
        left=names_of(LEFT),
        readings=CLASSES[wrench.iso_class].readings if wrench.iso_class else READINGS,
        sides=SIDES,
    )


def _calibrated(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    if typed.one(FILE_LEFT):
        raise AtField("file", "the PIN was asked for meanwhile, so choose the file again; then send it")
    found, left = points_told(typed, FOUND), points_told(typed, LEFT)
    with _sent_file() as file:
        certificate = _certificate_told(typed, file, found, left)
        try:
            looked = calibrate(workshop, own, certificate, say)
        except Refused as refused:
            raise at_point(refused, (*found, *left)) from None
        except BookError as error:
            raise _of_file(error, file) from None
    return f"office/wrench/{own}?look={looked.entry}"


def _certificate_told(
    typed: Typed, file: Path | None, found: tuple[PointFields, ...], left: tuple[PointFields, ...]
) -> Calibrate:
    """What a form tells of a certificate. Raises Refused at the field that cannot be read."""
    with at_field("on"):
        on = read_day(typed.one("on"))
    adapter = read_at(typed, "adapter", read_adapter)
    return Calibrate(
        on=on,
        certificate=typed.one("certificate"),
        laboratory=typed.one("laboratory"),
        decision_rule=typed.one("rule"),
        as_found=tuple(row.text for row in found),
        as_left=tuple(row.text for row in left),
        due_on=read_at(typed, "due", read_day),
        adapters=(adapter,) if adapter else (),
        file=file,
        hour=read_at(typed, "hour", read_hour),
        direction=typed.one("direction"),
        reference=typed.one("reference"),
        temperature_c=read_at(typed, "temperature", read_temperature),
        technician=typed.one("technician"),
    )


def _checked(workshop: "Workshop", own: str, typed: Typed, say: Say) -> str:
    points, expanded = points_told(typed, FOUND), read_at(typed, "spread", read_share)
    check = CheckWrench(typed.one("tester"), tuple(row.text for row in points), typed.one("certificate"), expanded)
    try:
        looked = check_wrench(workshop, own, check, say)
    except Refused as refused:
        raise at_point(refused, points) from None
    return f"office/wrench/{own}?look={looked.entry}"


@contextmanager
def _sent_file() -> Iterator[Path | None]:
    """The file that came with the form, under a name with its own ending; None where none was chosen."""
    sent = request.files.get("file")
    if sent is None or not sent.filename:
        yield None
        return
    with TemporaryDirectory() as folder:
        file = Path(folder, f"certificate{Path(sent.filename).suffix.lower()[:8]}")
        with file.open("wb") as kept:
            shutil.copyfileobj(sent.stream, kept)
        yield file


def _of_file(error: BookError, file: Path | None) -> Exception:
    """What is wrong with the file that was sent, at its field; any other fault as it is."""
    if file is None or str(file) not in str(error):
        return error
    name = (request.files["file"].filename or "")[:SENT_NAME]
    return AtField("file", str(error).replace(str(file), f"“{name}”").rstrip("."))


def _certificate(workshop: "Workshop", own: str, entry: int) -> "ResponseReturnValue":
    found = (each.paper for each in require_wrench(workshop, own).calibrations if each.entry == entry)
    paper = next(found, None)
    content = papers.read(workshop.book.path, paper) if paper else None
    if paper is None or content is None:
        return page_of(NO_FILE, form=False, back=f"office/wrench/{own}")
    answer = make_response(content)
    answer.headers["Content-Type"] = KINDS[paper.suffix]
    answer.headers["Content-Disposition"] = f'inline; filename="{own}-{entry}{paper.suffix}"'
    return answer
