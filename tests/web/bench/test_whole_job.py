"""A whole job from the motorcycle to the hand-over, on one tablet that changes hands, without script."""

from pathlib import Path
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.signing.pins import set_pin
from whole_job import MOST_BYTES, MOST_TAPS, next_of, work

from .phone import LetIn


@pytest.fixture
def final_drive(yard: Any, procedures: Path) -> None:
    """A procedure that was read against its source."""
    digest = enter_procedure(yard.workshop, procedures / "final-drive.toml", Say(yard.foreman))
    read_against_source(yard.workshop, digest, "", Say(yard.mechanic))


@pytest.mark.usefixtures("final_drive")
def test_a_final_drive_from_the_first_scan_to_the_hand_over(let_in: LetIn, yard: Any) -> None:
    """The mechanic works, a second mechanic looks, the foreman releases and lets it go; nobody types but numbers."""
    second = add_person(yard.workshop, "Third Person", ("mechanic",), "", Say(yard.foreman))
    set_pin(yard.workshop, Say(yard.foreman), second, "161803")
    tablet, phone = let_in(), let_in("phone of the second mechanic")
    tablet.sign_in("P-2").open(f"vehicle/{yard.vehicle}")
    tablet.tap("Begin", odometer="12000").tap("Read: begin")
    work(tablet, yard)
    assert "A second person looks" == next_of(tablet)
    phone.sign_in("P-3").open("job/1").tap("I looked at each: every mark is whole")
    work(tablet.open("job/1"), yard)
    phone.open("job/1").tap("Sign in", pin="161803").tap("I saw the mark whole")  # it slept meanwhile
    tablet.sign_in("P-1").open("job/1").tap("Release")
    tablet.tap("It has left", odometer="12001")

    done = show_job(yard.workshop, "1")
    assert ("handed over", (), "P-1") == (done.state, done.stops, done.release.by if done.release else "")
    assert {(each.mark.state, bool(each.check.by) or not each.check.wanted) for each in done.fasteners} == {
        ("intact", True)
    }
    came = {(each.judged["door"], each.judged["proof"]) for each in yard.workshop.book.entries("job/1")}
    assert {("page", "PIN")} == came
    assert {"D-1", "D-2"} == {each.judged["device"] for each in yard.workshop.book.entries("job/1")}
    taps, loaded = tablet.taps + phone.taps, tablet.loaded + phone.loaded
    print(f"{taps} taps, {tablet.typed + phone.typed} characters typed, {loaded} bytes")  # noqa: T201  # a figure to read
    assert taps <= MOST_TAPS
    assert loaded <= MOST_BYTES
