"""The main job in a browser at phone width, a re-check with a turned mark, and a tablet that changes hands."""

from collections.abc import Callable
from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.signing.pins import set_pin
from whole_job import MOST_BYTES, MOST_TAPS, next_of, work

from .device import Device
from .looks import shoot

pytestmark = pytest.mark.proof


class Pictures:
    """Each screen of a job as a picture, in the order in which it is seen; taken in `make proof`."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.taken = 0

    def take(self, device: Device) -> None:
        """One more."""
        self.taken += 1
        shoot(device, f"{self.name}-{self.taken:02}")


def test_a_final_drive_from_the_first_scan_to_the_hand_over(
    let_in: Callable[..., Device], yard: Any, procedures: Any, record_property: Callable[[str, object], None]
) -> None:
    """Three people on two devices: one works on a tablet, one looks on a phone, the foreman takes the tablet over."""
    digest = enter_procedure(yard.workshop, procedures / "final-drive.toml", Say(yard.foreman))
    read_against_source(yard.workshop, digest, "", Say(yard.mechanic))
    second = add_person(yard.workshop, "Third Person", ("mechanic",), "", Say(yard.foreman))
    set_pin(yard.workshop, Say(yard.foreman), second, "161803")
    tablet, phone = let_in(), let_in("phone of the second mechanic")
    seen = Pictures("job")
    tablet.sign_in("P-2").open(f"vehicle/{yard.vehicle}")
    seen.take(tablet)
    tablet.tap("Begin", odometer="12000").tap("Read: begin")
    work(tablet, yard, lambda: seen.take(tablet))
    assert "A second person looks" == next_of(tablet)
    phone.sign_in("P-3").open("job/1")
    seen.take(phone)
    phone.tap("I looked at each: every mark is whole")
    work(tablet.open("job/1"), yard, lambda: seen.take(tablet))
    phone.open("job/1").tap("Sign in", pin="161803")  # it slept meanwhile
    seen.take(phone)
    phone.tap("I saw the mark whole")
    tablet.open("sign/P-1")  # by the foreman's own tag
    seen.take(tablet)
    tablet.tap("Sign in", pin="271828").open("job/1")
    seen.take(tablet)
    tablet.tap("Release")
    seen.take(tablet)
    tablet.tap("It has left", odometer="12001")
    seen.take(tablet)

    done = show_job(yard.workshop, "1")
    assert ("handed over", (), "P-1") == (done.state, done.stops, done.release.by if done.release else "")
    taps, loaded = tablet.taps + phone.taps, tablet.loaded + phone.loaded
    typed = tablet.typed + phone.typed
    record_property(
        "figures",
        f"final-drive in a browser: {taps} taps, {typed} characters, {loaded} bytes with headers, style and all",
    )
    assert taps <= MOST_TAPS
    assert loaded <= MOST_BYTES


def test_a_turned_mark_at_the_re_check(signed_in: Callable[..., Device], yard: Any, procedures: Any) -> None:
    """The motorcycle comes back, one line is broken: do not ride, and a job that follows for just that nut."""
    job = yard.open(procedures / "rear-wheel.toml")
    yard.work(job)
    yard.leave(job)
    yard.later(days=7)
    phone, seen = signed_in("P-2"), Pictures("re-check")
    phone.open(f"vehicle/{yard.vehicle}")
    seen.take(phone)
    phone.tap("It is here", odometer="12090").open(f"job/{job}")
    seen.take(phone)
    phone.open(f"job/{job}/mark/rear-axle-nut?look=1")
    seen.take(phone)
    phone.tap("Turned: the line is broken", why="4 mm apart")
    seen.take(phone)
    assert "the witness mark is disturbed" in phone.text
    phone.open(f"job/{job}/open/rear-axle-nut")
    seen.take(phone)
    phone.tap("Open the job that follows")
    seen.take(phone)

    following = show_job(yard.workshop, "2")
    assert (job, ("rear-axle-nut",)) == (following.follows.job if following.follows else "", following.procedure.only)


def test_a_tablet_that_fell_asleep_changes_hands(signed_in: Callable[..., Device], yard: Any, procedures: Any) -> None:
    """What is recorded then stands under whoever signed in, and nothing is shown before."""
    job = yard.open(procedures / "rear-wheel.toml")
    tablet, seen = signed_in("P-2"), Pictures("shared")
    yard.later(minutes=11)
    tablet.open(f"job/{job}/step/bike-secured")
    seen.take(tablet)
    assert "Still P-2?" in tablet.text
    assert "motorcycle secured" not in tablet.text
    tablet.tap("Somebody else")
    seen.take(tablet)
    tablet.tap("Sign in", person="P-1", pin="271828").open(f"job/{job}/step/bike-secured").tap("Done")
    seen.take(tablet)

    assert "P-1 on D-1: change" in tablet.text
    assert ["P-1"] == [each.who for each in yard.workshop.book.entries(f"job/{job}") if each.what == "step_done"]
