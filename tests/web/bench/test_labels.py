"""Labels from the pages: decoded from what was handed out, by a decoder that is not ours."""

import os
import urllib.parse
import urllib.request
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
import zxingcpp

from torqueaudit.model.act import Say
from torqueaudit.model.shown.label import WRENCH, record_address
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit_plugins.qr_labels.calc.stock import stock_text

from .phone import LetIn

PAIR = "Print the job label and the owner's tag"


def decoded(pdf: bytes) -> list[str]:
    """What every symbol on every page says, as ZXing reads it."""
    found = []
    with pypdfium2.PdfDocument(pdf) as document:
        for page in document:
            picture = page.render(scale=300 / 72, grayscale=True).to_pil()
            found += [each.text for each in zxingcpp.read_barcodes(picture)]
    return found


def fetched(phone: Any, path: str) -> tuple[bytes, dict[str, str]]:
    """A file that a browser with the phone's cookies is given."""
    address = urllib.parse.urljoin(phone.address, path)
    opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(phone.cookies))
    with opener.open(address, timeout=60) as answer:
        return answer.read(), dict(answer.headers)


def link(phone: Any, says: str) -> str:
    """Where a link of the page leads to."""
    before = phone.page[: phone.page.index(f">{says}<".replace("'", "&#39;"))]
    return str(before.rpartition('href="')[2].rstrip('"').replace("&amp;", "&"))


@pytest.fixture
def spooler(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Callable[[str], Path]:
    """A PATH whose `lp` is this script; what it is given lies in the folder."""
    folder = tmp_path / "spool"

    def made(then: str = 'echo "request id is front-7"') -> Path:
        folder.mkdir()
        script = f'#!/bin/sh\nprintf "%s\\n" "$@" >> {folder}/words\ncat > {folder}/in.pdf\n{then}\n'
        (folder / "lp").write_text(script, encoding="utf-8")
        (folder / "lp").chmod(0o755)
        monkeypatch.setenv("PATH", f"{folder}{os.pathsep}{os.environ['PATH']}")
        return folder

    return made


@pytest.fixture
def ready(yard: Any, procedures: Path) -> str:
    """A job that waits for its release."""
    job = yard.open(procedures / "front-wheel.toml")
    yard.work(job)
    yard.later(days=1, hours=2)  # until the threadlocker has cured
    return str(job)


def left(phone: Any) -> Any:
    """The foreman releases it and lets it go."""
    phone.sign_in("P-1").open("job/1").tap("Release")
    return phone.tap("It has left", odometer="12001")


def test_after_the_hand_over_one_tap_opens_both_labels(let_in: LetIn, ready: str, yard: Any) -> None:
    """Where the workshop chose its stock; each symbol says the record's address, as ZXing reads it."""
    settle(yard.workshop, {"label_stock": "roll-62x29"}, Say(yard.foreman))
    phone = left(let_in())
    pdf, headers = fetched(phone, link(phone, PAIR))
    address = f"http://bench.example/r/{yard.token(ready)}"

    assert {address} == set(decoded(pdf))
    assert ("application/pdf", 'inline; filename="job-1-labels.pdf"') == (
        headers["Content-Type"],
        headers["Content-Disposition"],
    )
    assert ("no-store", "nosniff") == (headers["Cache-Control"], headers["X-Content-Type-Options"])
    with pypdfium2.PdfDocument(pdf) as document:
        assert 2 == len(document)


def test_where_nobody_chose_a_stock_it_is_asked_for_once(let_in: LetIn, ready: str) -> None:
    """Then it stays chosen as long as somebody is signed in."""
    phone = left(let_in()).follow(PAIR)
    assert "What do you print on?" in phone.text
    form, button = phone.form_of("Thermal roll, labels of 62 by 29 mm")
    first, _ = fetched(phone, f"{form.action}?kind=job+owner&{button.name}={button.value}")
    phone.open(f"job/{ready}")

    assert first == fetched(phone, link(phone, PAIR))[0]
    assert "On thermal roll, labels of 62 by 29 mm" in phone.open(f"job/{ready}/labels").text
    assert len(decoded(first)) >= 2


def test_on_the_workshops_printer_the_tap_prints_there_and_says_so(
    let_in: LetIn, ready: str, yard: Any, spooler: Callable[..., Path]
) -> None:
    """Once, however often the form is sent."""
    folder = spooler()
    settle(yard.workshop, {"label_stock": "roll-62x29", "label_printer": "front; desk"}, Say(yard.foreman))
    phone = left(let_in())
    form, button = phone.form_of(PAIR)
    shown = phone.address
    said = phone.send(form, button, {}).text
    phone.address = shown
    again = phone.send(form, button, {}).text

    assert "sent to front; desk (request id is front-7)" in said
    assert "nothing was printed twice" in again
    words = (folder / "words").read_text(encoding="utf-8").splitlines()
    assert ["-d", "front; desk", "-t", "Labels of job 1, red Kestrel"] == words
    assert {f"http://bench.example/r/{yard.token(ready)}"} == set(decoded((folder / "in.pdf").read_bytes()))


def test_a_printer_that_takes_nothing_is_told(
    let_in: LetIn, ready: str, yard: Any, spooler: Callable[..., Path]
) -> None:
    """In the spooler's own words; nothing is said to be printed, and the next tap is taken anew."""
    spooler('echo "lp: no such printer" >&2; exit 1')
    settle(yard.workshop, {"label_stock": "roll-62x29", "label_printer": "desk"}, Say(yard.foreman))
    phone = left(let_in()).tap(PAIR)

    assert (422, ready in phone.address) == (phone.status, True)
    assert ": lp: no such printer; `lpstat -p` lists the printers." in phone.text
    phone.tap("Print the job label alone")
    assert (422, False) == (phone.status, "printed twice" in phone.text)


def test_the_label_that_comes_off_is_named_beside_the_tap(
    let_in: LetIn, ready: str, yard: Any, procedures: Path
) -> None:
    """As the command says it, in the same words."""
    yard.leave(ready)
    yard.later(hours=3)
    yard.arrive()
    following = yard.open(procedures / "front-wheel.toml", follows=ready)
    yard.work(following)
    yard.later(days=1, hours=2)
    phone = let_in().sign_in("P-1").open(f"job/{following}").tap("Release")
    said = phone.tap("It has left", odometer="12001").text
    labels = phone.open(f"job/{following}/labels").text

    assert PAIR in said
    sentence = "Job 2 replaces job 1 on red Kestrel: remove the old labels of job 1."
    assert [True, True] == [sentence in each for each in (said, labels)]


def test_what_the_tag_does_not_say_is_told_beside_the_tap(let_in: LetIn, yard: Any, procedures: Path) -> None:
    """Stops, counted as on the page before, and a workshop that chose no telephone (decision 0042)."""
    yard.work(yard.open(procedures / "front-wheel.toml"))
    yard.later(days=1, hours=2)
    yard.loosen("1", "front-disc-bolt")
    phone = let_in().sign_in("P-1").open("job/1/hand-over/job")
    assert "It leaves with 2 stops" in phone.text
    said = phone.tap("It has left", odometer="12001", why="fetched by the owner").text

    assert PAIR in said
    assert "Job 1: 2 stops stand, of which the owner's tag says nothing." in said
    assert "The owner's tag leaves the telephone to be written; choose the workshop's telephone." in said


def test_a_stock_without_room_for_the_owners_tag_prints_the_job_label(let_in: LetIn, ready: str, yard: Any) -> None:
    """And says of the others that they have no room there."""
    settle(yard.workshop, {"label_stock": "roll-25x25"}, Say(yard.foreman))
    phone = left(let_in())
    pdf, _ = fetched(phone, link(phone, "Print the job label"))
    page = phone.open(f"job/{ready}/labels").text

    assert PAIR not in phone.text
    assert [f"http://bench.example/r/{yard.token(ready)}"] == decoded(pdf)
    assert "The owner's tag has no room on what is chosen." in page


@pytest.mark.parametrize(
    ("query", "says"),
    [
        ("kind=job&stock=papyrus", "What to print on is not chosen"),
        ("kind=job&stock=own", "What to print on is not chosen"),
        ("kind=job", "What to print on is not chosen"),
        ("stock=roll-62x29", "Nothing was chosen, or too much; there are job, owner, marks"),
        ("kind=gift&stock=roll-62x29", "Gift: no such kind of label; there are job, owner, marks."),
        ("kind=person&stock=roll-62x29", "Person: no such kind of label"),
        ("kind=job&stock=a4-3x8&start=25", "there is no position 25"),
        ("kind=job&stock=a4-3x8&start=x", "write a whole number in digits"),
        (f"kind={'+'.join(['job'] * 30)}&stock=roll-62x29", "Nothing was chosen, or too much"),
    ],
)
def test_what_cannot_be_printed_is_told(let_in: LetIn, ready: str, query: str, says: str) -> None:
    """In one sentence above what can be."""
    phone = let_in().sign_in("P-2").open(f"job/{ready}/labels.pdf?{query}")

    assert 422 == phone.status
    assert says in phone.text


def test_no_page_reads_a_file_that_somebody_names(let_in: LetIn, ready: str, yard: Any, tmp_path: Path) -> None:
    """The path of a stock comes from the workshop's settings alone, and no page shows it."""
    own, other = tmp_path / "own.toml", tmp_path / "other.toml"
    for each in (own, other):
        each.write_text(stock_text("roll-62x29"), encoding="utf-8")
    settle(yard.workshop, {"label_stock": str(own)}, Say(yard.foreman))
    phone = let_in().sign_in("P-2").open(f"job/{ready}/labels")
    shown = phone.page
    pdf, _ = fetched(phone, "labels.pdf?kind=job&stock=own")

    assert ("On the stock of the workshop's own file" in phone.text, str(tmp_path) in shown) == (True, False)
    assert len(decoded(pdf)) >= 1
    assert 422 == phone.open(f"job/{ready}/labels.pdf?kind=job&stock={other}").status


def test_what_a_stock_leaves_out_is_said_before_the_pdf_opens(let_in: LetIn, yard: Any, procedures: Path) -> None:
    """As the command says it; one tap more opens the PDF, and a stock with room for all of it asks for none."""
    yard.vehicle = add_vehicle(
        yard.workshop, "Kestrel 500, red and grey, 3", "Kestrel 500", 2029, {}, Say(yard.foreman)
    )
    ready = yard.open(procedures / "front-wheel.toml")
    phone = let_in().sign_in("P-2").open(f"job/{ready}/labels?stock=roll-50x30").tap("Print the job label")
    assert (200, "text/html") == (phone.status, phone.headers["Content-Type"].partition(";")[0])
    assert "Job 1: Vehicle is cut on stock roll-50x30, to “Kestrel 500, red" in phone.text
    pdf, headers = fetched(phone, link(phone, "Open the PDF as it is"))
    _, whole = fetched(phone, f"{phone.base}/job/{ready}/labels.pdf?kind=job&stock=a4-3x8")

    assert ["application/pdf"] * 2 == [each["Content-Type"] for each in (headers, whole)]
    assert decoded(pdf)


def test_what_was_said_beside_a_label_is_not_asked_again(let_in: LetIn, yard: Any, procedures: Path) -> None:
    """That the owner's tag says nothing of the stops stands on the page from which it is printed."""
    job = yard.open(procedures / "front-wheel.toml")
    phone = let_in().sign_in("P-2").open(f"job/{job}/labels?stock=a4-3x8")
    assert "of which the owner's tag says nothing" in phone.text
    _, headers = fetched(phone, "labels.pdf?kind=owner&stock=a4-3x8")

    assert "application/pdf" == headers["Content-Type"]


def test_a_sheet_that_is_partly_used_is_begun_where_it_is_free(let_in: LetIn, ready: str) -> None:
    """The label stands at the fifth place: in the second row of three columns, in the middle."""
    phone = let_in().sign_in("P-2")
    pdf, _ = fetched(phone, f"{phone.base}/job/{ready}/labels.pdf?kind=job&stock=a4-3x8&start=5")
    with pypdfium2.PdfDocument(pdf) as document:
        picture = document[0].render(scale=300 / 72, grayscale=True).to_pil()
    [place] = {
        (each.position.top_left.x * 3 // picture.width, each.position.top_left.y * 8 // picture.height)
        for each in zxingcpp.read_barcodes(picture)
    }

    assert (1, 1) == place


def test_a_withdrawn_job_has_no_label(let_in: LetIn, ready: str, yard: Any) -> None:
    """It says why, and offers nothing."""
    strike(yard.workshop, ready, yard.workshop.record(ready).opened.entry, "wrong vehicle", Say(yard.foreman))
    phone = let_in().sign_in("P-2").open(f"job/{ready}/labels?stock=roll-62x29")

    assert "Job 1 was withdrawn (wrong vehicle); it gets no label." in phone.text
    assert 422 == phone.open(f"job/{ready}/labels.pdf?kind=job&stock=roll-62x29").status


def test_a_foreman_prints_a_persons_tag_from_the_page_of_people(let_in: LetIn, personal: tuple[str, ...]) -> None:
    """What its symbol says leads to the PIN of that person, and no name stands on it."""
    desk = let_in("desk").sign_in("P-1").open("devices").follow("Print the tag of P-2")
    form, button = desk.form_of("Thermal roll, labels of 50 by 30 mm")
    desk.send(form, button, {})
    form, button = desk.form_of("Print the person's tag")
    pdf, _ = fetched(desk, f"{form.action}?stock=roll-50x30&{button.name}={button.value}")
    [address] = set(decoded(pdf))
    phone = let_in().open(urllib.parse.urlsplit(address).path).tap("Sign in", pin="314159")

    assert "http://bench.example/sign/p-2" == address
    assert "P-2 on D-2" in phone.text
    with pypdfium2.PdfDocument(pdf) as document:
        words = document[0].get_textpage().get_text_bounded()
    assert [] == [each for each in personal if each in words or each.encode() in pdf]


def test_a_wrench_that_is_scanned_leads_back_to_the_job(let_in: LetIn, ready: str, yard: Any) -> None:
    """Scan, one tap, and on with the job that was on the screen last."""
    phone = let_in().sign_in("P-2").open(f"job/{ready}/work")
    path = urllib.parse.urlsplit(record_address(yard.workshop.settings, WRENCH, yard.wrench)).path
    phone.open(path).tap("Work with this wrench on job 1")

    assert f"/job/{ready}" == urllib.parse.urlsplit(phone.address).path
    assert 200 == phone.status


def test_ones_own_tag_leads_back_to_the_job_too(let_in: LetIn, ready: str) -> None:
    """Whoever takes the tablet over goes on with what it showed."""
    phone = let_in().sign_in("P-1").open(f"job/{ready}/work").open("sign/p-2").tap("Sign in", pin="314159")

    assert f"/job/{ready}" == urllib.parse.urlsplit(phone.address).path
    assert "P-2 on D-1" in phone.text
