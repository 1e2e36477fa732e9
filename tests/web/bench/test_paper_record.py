"""The record on paper from the pages: opened where the motorcycle leaves, read by decoders that are not ours."""

import urllib.parse
import urllib.request
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from torqueaudit.model.act import Say
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.photo.harmless import make_harmless
from torqueaudit.reports.paper_record import record_pdf
from torqueaudit.workshop.jobs.photos import photograph
from torqueaudit.workshop.paper.record import paper_of
from torqueaudit.workshop.wrenches.calibrations import calibrate

from .phone import Forms, LetIn

LINK = "Record on paper, for its owner"


@pytest.fixture
def ready(yard: Any, procedures: Path) -> str:
    """A chain and both sprockets, all of it done and measured, with four photos: a job of usual size."""
    points = tuple(f"{each} N·m: {each} {each} {each} {each} {each}; W 1 %" for each in (5, 50, 100, 200))
    found = Calibrate(yard.workshop.today(), "C-1", as_found=points)
    calibrate(yard.workshop, yard.wrench, found, Say(yard.foreman))
    yard.later(days=1)
    job = yard.open(procedures / "final-drive.toml")
    yard.work(job)
    for number, key in enumerate(("rear-axle-nut", "front-sprocket-nut", "torque-arm-bolt", "caliper-carrier-bolt")):
        file = BytesIO()
        Image.new("RGB", (640, 480), (60 * number, 120, 90)).save(file, "JPEG")
        photograph(yard.workshop, job, [key], make_harmless(file.getvalue()), "the line", Say(yard.mechanic))
    yard.later(days=1, hours=2)
    return str(job)


@pytest.fixture
def left(let_in: LetIn, ready: str) -> Any:
    """The phone of a foreman who has released the job and let it go."""
    phone = let_in().sign_in("P-1").open(f"job/{ready}/release/job").tap("Release")
    return phone.tap("It has left", odometer="12001")


def fetched(phone: Any, path: str) -> tuple[bytes, dict[str, str]]:
    """A file that a browser with the phone's cookies is given."""
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(phone.cookies))
    with opener.open(urllib.parse.urljoin(phone.address, path), timeout=60) as answer:
        return answer.read(), dict(answer.headers)


def test_where_it_leaves_one_tap_opens_its_record_on_one_page(left: Any, ready: str, yard: Any) -> None:
    """The same file as at the command line; a job of usual size in which nothing was conceded fits on one A4."""
    links = {says: where for says, where in Forms(left.html).links.items() if "on paper" in says}
    pdf, headers = fetched(left, links[LINK])

    assert ("application/pdf", f'inline; filename="job-{ready}.pdf"') == (
        headers["Content-Type"],
        headers["Content-Disposition"],
    )
    assert record_pdf(*paper_of(yard.workshop, ready)) == pdf
    with pypdfium2.PdfDocument(pdf) as document:
        assert 1 == len(document)
        assert [595, 842] == [round(side) for side in document[0].get_size()]  # ISO 216: A4 is 210 mm by 297 mm


def test_its_symbol_opens_the_record_of_the_motorcycle(left: Any, ready: str, yard: Any, bench: str) -> None:
    """Decoded by ZXing from the page as it is printed at 300 dots an inch; a stranger's phone opens it."""
    pdf, _ = fetched(left, f"{bench}job/{ready}/record.pdf")
    with pypdfium2.PdfDocument(pdf) as document:
        picture = document[0].render(scale=300 / 72, grayscale=True).to_pil()
    (symbol,) = zxingcpp.read_barcodes(picture)
    with urllib.request.urlopen(f"{bench}{urllib.parse.urlsplit(symbol.text).path[1:]}", timeout=20) as answer:
        page = answer.read().decode()

    assert f"http://bench.example/r/{yard.token(ready)}" == symbol.text
    assert "red Kestrel" in page


def test_the_pages_of_a_job_lead_to_its_record_before_it_leaves(let_in: LetIn, ready: str) -> None:
    """It says in large letters that nobody has released it."""
    phone = let_in().sign_in("P-2")
    for path in (f"job/{ready}", f"job/{ready}/work"):
        assert "Record on paper" in Forms(phone.open(path).html).links
    pdf, _ = fetched(phone, Forms(phone.html).links["Record on paper"])
    with pypdfium2.PdfDocument(pdf) as document:
        text = document[0].get_textpage().get_text_bounded()

    assert "NOT RELEASED" in text
    assert 404 == phone.open("job/99/record.pdf").status
