"""Wrenches on the pages of the office: entered, calibrated from a certificate, checked, put aside, put right."""

from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.book.papers import LARGEST
from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.web.bodies import MOST_PHOTO, PHOTO_FORM, not_taken
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.wrenches.view import list_wrenches, show_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench, withdraw_wrench

PDF = b"%PDF-1.7\n1 0 obj<<>>endobj\n"
# Ratios of ISO 6789: deviation = (set to - reference) / reference; three points in the range of "long one".
POINTS = {
    "found-1-at": "40",
    "found-1-readings": "39.6 39.8 39.7 39.9 39.6",
    "found-2-at": "120",
    "found-2-readings": "118.2  118.9 118.5 119.1 118.7",
    "found-2-w": "1.1",
    "found-2-interval": "2.3 %",
    "found-3-at": "200",
    "found-3-readings": "196,8 197,4 197,1 196,9 197,6",
}
TOLD = {"on": "2031-04-01", "certificate": "C-17", "laboratory": "Invented Calibrations", **POINTS}


def entries(yard: Any, number: str = "W-1") -> list[Any]:
    """What was recorded of a wrench."""
    return list(yard.workshop.book.entries(f"wrench/{number}"))


def test_the_office_is_reached_from_the_first_pages_by_a_foreman_alone(desk: Any) -> None:
    """A mechanic is led there by nothing, and is told who opens it."""
    for page in ("today", "bench"):
        desk.open(page).follow("Office").follow("Wrenches")
        assert (200, True) == (desk.status, "W-1 long one" in desk.text)
    desk.sign_in("P-2")
    for page in ("today", "bench"):
        assert "office" not in desk.open(page).page
    assert (403, True) == (desk.open("office/wrench/W-1").status, "A foreman opens this" in desk.text)


def test_a_wrench_is_entered_once(desk: Any, yard: Any) -> None:
    """With its range in the unit that was chosen; the same form sent again makes no second one."""
    desk.open("office/wrenches")
    (form, button), page = desk.form_of("Enter it"), desk.address
    typed = {"tag": "dial", "kind": "indicating", "unit": "N·m", "lowest": "10", "highest": "60", "lever": "480±2"}
    for _ in range(2):
        desk.address = page
        desk.send(form, button, typed)
        assert (200, f"{desk.base}/office/wrench/W-2") == (desk.status, desk.address)
    view = show_wrench(yard.workshop, "W-2")

    assert ("indicating", "10 … 60 N·m", Decimal(480)) == (view.kind, view.reach, view.lever_mm)
    assert ["W-1", "W-2"] == [row.number for row in wrenches_of(yard)]
    assert "Not shown to be in calibration" in desk.text


def wrenches_of(yard: Any) -> list[Any]:
    """All wrenches of the workshop."""
    return list_wrenches(yard.workshop)


def test_a_calibration_that_ends_soon_is_seen_in_the_list(desk: Any, yard: Any) -> None:
    """As many days before as the workshop has chosen, and not a day earlier."""
    add_wrench(yard.workshop, NewWrench("setting", "soon one", due_on=date(2031, 4, 16)), Say("P-1"))
    add_wrench(yard.workshop, NewWrench("setting", "later one", due_on=date(2031, 4, 17)), Say("P-1"))
    text = desk.open("office/wrenches").text

    assert 1 == text.count("soon: send it")
    assert "W-2 soon one calibration ends 2031-04-16, soon: send it" in text


def test_what_is_refused_is_said_at_its_field_and_stays_typed(desk: Any, yard: Any) -> None:
    """A lever in centimetres."""
    desk.open("office/wrenches").tap("Enter it", tag="dial", kind="indicating", lever="48")
    said = desk.page.partition('id="enter-lever-wrong">')[2].partition("<")[0]

    assert 422 == desk.status
    assert said.startswith("48: a lever is given in mm")
    assert 'value="dial"' in desk.page
    assert 'value="48"' in desk.page
    assert 1 == len(wrenches_of(yard))


def test_a_wrench_is_calibrated_from_its_certificate(desk: Any, yard: Any) -> None:
    """Every figure as it is printed, the file beside it, and what that makes of the wrench; sent twice, told once."""
    before = len(entries(yard))
    desk.open("office/wrench/W-1").follow("Enter a calibration")
    calibrate, page = desk.address, desk.page
    for _ in range(2):
        desk.page, desk.address = page, calibrate
        desk.send_file("Record this calibration", ("c17.PDF", PDF), **TOLD)
        assert (200, True) == (desk.status, "its calibration holds until 2032-04-01" in desk.text)
    (told,) = entries(yard)[before:]
    done = show_wrench(yard.workshop, "W-1").calibration

    assert done is not None
    assert ("C-17", "Invented Calibrations") == (done.certificate, done.laboratory)
    assert "120 N·m: 118.2 118.9 118.5 119.1 118.7; W 1.1 %; W′ 2.3 %" == told.said["as_found"][1]
    assert [1, 3] == [len(told.said["as_found"][2].split(";")), len(done.as_found)]
    assert PDF == Path(done.paper).read_bytes()
    assert str(yard.workshop.book.path.parent) not in desk.page  # where a file lies is nobody's business here
    desk.follow("Open the certificate")
    assert (PDF, "application/pdf") == (desk.body, desk.headers["Content-Type"])


def test_a_point_that_cannot_be_is_refused_at_its_own_row(desk: Any, yard: Any) -> None:
    """Readings ten times too low; every figure stays typed, and nothing is recorded."""
    before = len(entries(yard))
    desk.open("office/wrench/W-1/calibrate")
    desk.send_file("Record this calibration", ("", b""), **{**TOLD, "found-2-readings": "11.8 11.9 11.8 11.9 11.8"})

    assert (422, before) == (desk.status, len(entries(yard)))
    assert 'id="calibrate-found-2-readings-wrong"' in desk.page
    assert 'value="39.6 39.8 39.7 39.9 39.6"' in desk.page
    desk.send_file("Record this calibration", ("", b""), **{**TOLD, "found-1-at": ""})
    assert 'id="calibrate-found-1-at-wrong">Say what the wrench was set to at this point.' in desk.page
    assert "Choose the file again" in desk.text


@pytest.mark.parametrize(
    ("page", "says", "typed", "folded"),
    [
        ("office/wrenches", "Enter it", {"tag": "x", "kind": "setting", "lever": "48"}, "More that is known of it"),
        ("office/wrench/W-1/check", "Record this check", {"tester": "T", "spread": "x"}, "What is known of the tester"),
        ("office/wrench/W-1/calibrate", "Record this calibration", {**TOLD, "adapter": "x"}, "More that the"),
        ("office/wrench/W-1/calibrate", "Record this calibration", {**TOLD, "left-2-w": "1"}, "It was adjusted"),
        ("office/wrench/W-1/calibrate", "Record this calibration", {**TOLD, "found-5-w": "1"}, "More points"),
    ],
)
def test_a_field_that_is_refused_is_never_folded_away(
    desk: Any, page: str, says: str, typed: dict[str, str], folded: str
) -> None:
    """What it is folded into at first is open then."""
    desk.open(page)
    assert f"<details><summary>{folded}" in desk.page
    desk.send_file(says, ("", b""), **typed) if page.endswith("calibrate") else desk.tap(says, **typed)

    assert 422 == desk.status
    assert f"<details open><summary>{folded}" in desk.page


@pytest.mark.parametrize(
    ("file", "says"),
    [
        (("notes.docx", b"PK"), "“notes.docx” is kept as a PDF, PNG or JPEG file only"),
        (("scan.pdf", b"PK"), "“scan.pdf” is called .pdf and is none inside"),
    ],
)
def test_a_file_that_is_no_certificate_is_refused_by_its_own_name(
    desk: Any, yard: Any, file: tuple[str, bytes], says: str
) -> None:
    """No folder of the server is told."""
    before = len(entries(yard))
    desk.open("office/wrench/W-1/calibrate").send_file("Record this calibration", file, **TOLD)

    assert (422, before) == (desk.status, len(entries(yard)))
    assert says in desk.page.partition('id="calibrate-file-wrong">')[2]
    assert "/certificate" not in desk.text


def test_a_file_that_is_too_large_is_refused_by_its_head_or_its_size(desk: Any, yard: Any) -> None:
    """As a form it may have what a photo has; as a certificate 20 MB, as at the command line."""
    before = len(entries(yard))
    told = not_taken("/office/wrench/w-1/calibrate", PHOTO_FORM, MOST_PHOTO + 1)
    assert told
    assert (413, "A certificate's file may have 20 MB. Scan it smaller.") == (told.code, told.says)
    desk.open("office/wrench/W-1/calibrate")
    desk.send_file("Record this calibration", ("scan.pdf", PDF + bytes(LARGEST)), **TOLD)
    assert (422, before) == (desk.status, len(entries(yard)))
    assert "“scan.pdf” is larger than 20 MB; scan it smaller" in desk.page.partition('id="calibrate-file-wrong">')[2]


def test_a_page_that_is_out_of_date_records_nothing(desk: Any, yard: Any) -> None:
    """Somebody puts the wrench aside while its certificate is typed; sent again from what is shown then, it is told."""
    desk.open("office/wrench/W-1/calibrate")
    withdraw_wrench(yard.workshop, "W-1", "the ratchet slips", Say("P-2"))
    before = len(entries(yard))
    desk.send_file("Record this calibration", ("", b""), **TOLD)
    assert (422, before, True) == (desk.status, len(entries(yard)), "This page was out of date" in desk.text)
    desk.send_file("Record this calibration", ("", b""))
    assert (200, before + 1) == (desk.status, len(entries(yard)))


def test_a_certificate_that_takes_long_to_type_is_not_lost(desk: Any, yard: Any) -> None:
    """After ten minutes the PIN is asked for, and what was typed is recorded then; a file is asked for again."""
    before = len(entries(yard))
    desk.open("office/wrench/W-1/calibrate")
    yard.later(minutes=11)
    desk.send_file("Record this calibration", ("", b""), **TOLD)
    assert (401, before, True) == (desk.status, len(entries(yard)), "Still P-1?" in desk.text)
    desk.send_file("Go on", ("", b""), wake="000007")
    assert (401, True) == (desk.status, "do not belong together" in desk.text)
    desk.send_file("Go on", ("", b""), wake="271828")
    assert (200, before + 1) == (desk.status, len(entries(yard)))
    assert "118.2 118.9" in str(entries(yard)[-1].said)
    desk.open("office/wrench/W-1/calibrate")
    yard.later(minutes=11)
    desk.send_file("Record this calibration", ("c17.pdf", PDF), **TOLD)
    desk.send_file("Go on", ("", b""), wake="271828")
    assert (422, before + 1) == (desk.status, len(entries(yard)))
    assert 'id="calibrate-file-wrong">The PIN was asked for meanwhile, so choose the file again' in desk.page
    desk.send_file("Record this calibration", ("c17.pdf", PDF))
    assert (200, before + 2) == (desk.status, len(entries(yard)))


def test_a_form_of_another_site_wakes_nobody(desk: Any, yard: Any) -> None:
    """Nor is what it brings shown with a field for the PIN."""
    form, button = desk.open("office/wrench/W-1").form_of("Put it aside")
    yard.later(minutes=11)
    desk.send(form, button, {"what": "dropped", "why": "x", "form": "0" * 32})
    assert (403, False) == (desk.status, "PIN" in desk.text)


def test_a_check_that_finds_it_out_withdraws_it(desk: Any, yard: Any) -> None:
    """By 5 %, where ISO 6789 permits 4 %; the strike of it brings the wrench back."""
    was = show_wrench(yard.workshop, "W-1").state
    typed = {"tester": "tester 1", "found-1-at": "100", "found-1-readings": "95 95 95"}
    desk.open("office/wrench/W-1").follow("Enter a check on your tester").tap("Record this check", **typed)
    assert (200, "withdrawn") == (desk.status, show_wrench(yard.workshop, "W-1").state)
    assert "It may not be used:" in desk.text
    told = str(entries(yard)[-1].sequence)
    desk.tap("It no longer counts", entry=told, why="95 was 98")
    assert (200, was) == (desk.status, show_wrench(yard.workshop, "W-1").state)
    assert "STRUCK" in desk.text


def test_it_is_put_aside_estimated_and_put_right(desk: Any, yard: Any) -> None:
    """Each by its form; what was not changed is not told anew, however it was rounded."""
    desk.open("office/wrench/W-1").tap("Put it aside", what="dropped", why="fell off the bench")
    assert (200, True) == (desk.status, "Withdrawn" in desk.text)
    desk.tap("Count these", cycles="0", why="lent out")
    assert (422, True) == (desk.status, 'id="estimate-cycles-wrong">0: estimate between 1' in desk.page)
    desk.tap("Count these", cycles="300", why="lent out", on="2031-04-01")
    assert "at least 300 cycles beside the book" in desk.text
    desk.tap("Put it right", tag="long one, green tape")
    assert {"tag": "long one, green tape"} == entries(yard)[-1].said
    desk.tap("Put it right")
    assert (422, True) == (desk.status, "nothing of this is new" in desk.text)


def test_what_overloaded_it_is_one_sentence(desk: Any, yard: Any, procedures: Path) -> None:
    """It goes on as it began."""
    job = yard.open(procedures / "front-wheel.toml")
    over = Tighten(Outcome.TURNED_CLICKED, "W-1", "201 N·m")
    tighten(yard.workshop, job, "front-axle", over, Say("P-2", sure=True))
    desk.open("office/wrench/W-1")

    assert "It was used at 201 N·m on job 1" in desk.text


def test_nothing_is_taken_from_another_site(desk: Any, yard: Any) -> None:
    """Neither by its origin nor without the token of the session."""
    before = len(entries(yard))
    form, button = desk.open("office/wrench/W-1").form_of("Put it aside")
    typed = {"what": "dropped", "why": "x"}
    desk.send(form, button, typed, {"Origin": "http://elsewhere.example"})
    assert 403 == desk.status
    desk.send(form, button, {**typed, "form": "0" * 32})
    assert (403, before) == (desk.status, len(entries(yard)))


def test_an_unknown_wrench_and_a_certificate_that_is_none_are_said(desk: Any) -> None:
    """In a sentence."""
    assert (404, True) == (desk.open("office/wrench/W-9").status, "no such wrench" in desk.text)
    assert (404, True) == (desk.open("office/wrench/W-1/certificate/1").status, "No certificate here" in desk.text)
