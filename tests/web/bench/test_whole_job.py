"""A whole job from the motorcycle to the hand-over, on one tablet that changes hands, without script."""

from pathlib import Path
from typing import Any, Protocol

import pytest

from torqueaudit.model.act import Say
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.signing.pins import set_pin

READ = {
    "rivet flare": {"read.rivet.1": "6.2", "read.rivet.2": "6.25"},
    "chain slack": {"read.slack.1": "37", "read.slack.2": "39"},
    "rear wheel alignment": {"read.left.1": "412.5", "read.right.1": "412.0"},
}
PARTS = {"with.material": "steel", "with.make and type": "Millrace", "with.seal": "X-ring"}
MOST_TAPS, MOST_BYTES = 45, 400_000


class LetIn(Protocol):
    """Makes a phone that was let in."""

    def __call__(self, name: str = ...) -> Any: ...


@pytest.fixture
def final_drive(yard: Any, procedures: Path) -> None:
    """A procedure that was read against its source."""
    digest = enter_procedure(yard.workshop, procedures / "final-drive.toml", Say(yard.foreman))
    read_against_source(yard.workshop, digest, "", Say(yard.mechanic))


def next_of(phone: Any) -> str:
    """The heading of the screen that comes next."""
    headings: list[str] = [part.partition("</h2>")[0] for part in phone.page.split("<h2>")[1:]]
    return next(each for each in headings if not each.startswith(("Recorded", "Not recorded")))


def work(phone: Any, yard: Any) -> None:
    """Do whatever the screen asks, until somebody else has to."""
    for _ in range(60):
        yard.later(minutes=4)
        heading = next_of(phone)
        if heading == "Step":
            phone.tap("Done")
        elif heading == "Look":
            phone.tap("In order")
        elif heading.startswith("Part"):
            phone.tap("Fitted as stated", **{name: told for name, told in PARTS.items() if f'"{name}"' in phone.page})
        elif heading.startswith("Tighten"):
            tighten(phone)
        elif heading == "Measure":
            name = phone.page.partition('<h2>Measure</h2><p class="big due">')[2].partition("</p>")[0]
            phone.tap("Measured", **READ[name])
        else:
            return


def tighten(phone: Any) -> None:
    """Take the wrench where none is chosen, and say what happened."""
    if "Choose a wrench" in phone.page:
        phone.tap("W-1")
    elif "by hand</p>" in phone.page:
        phone.tap("All 5: turned by hand")
    else:
        all_of = "All 5: turned, then clicked" if '<svg class="bolts"' in phone.page else "Turned, then clicked"
        phone.tap(all_of)


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
