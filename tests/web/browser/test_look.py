"""Every kind of page of the bench, and what strangers see, each opened once in a browser and looked at in every way."""

from collections.abc import Callable
from typing import Any

import pytest

from torqueaudit.model.act import Came, Say
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import MarkState, Outcome
from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.register.permits import IMPORT
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.web.tls.authority import authority_of
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.jobs.logs import Becomes, RowLook, enter_row
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.search.disclosures import disclose
from torqueaudit.workshop.signing.devices import invite
from torqueaudit.workshop.vehicles.contact import agree_contact
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle, report_all_loosened
from torqueaudit.workshop.wrenches.wrench import add_wrench

from .device import Device
from .looks import faults_of

pytestmark = pytest.mark.proof
SignedIn = Callable[..., Device]
WHOLE = "each => `${each.naturalWidth} × ${each.naturalHeight}`"  # "0 × 0" where it was not loaded


def log_says(yard: Any, job: str, position: str, shown: str) -> None:
    """A row of a wrench's log, as the import enters it."""
    said = {"position": position, "stage": 1, "shown": shown, "wrench": yard.wrench, "number": "101"}
    row = RowLook(LogRow(1, {}), Becomes.ENTERED, says="", job=job, said=said)
    enter_row(yard.workshop, row, {"run_by": "P-1", "file": "0" * 64, "line": 2}, Say(IMPORT, id="log-1"))


class Looks:
    """What is wrong with the pages that were looked at."""

    def __init__(self, device: Device) -> None:
        self.device = device
        self.said: list[str] = []

    def at(self, name: str, path: str = "", *, has: str) -> None:
        """Open a page, or stay on the one that is open; it must be the one that is meant."""
        if path:
            self.device.open(path)
        assert has in self.device.text.lower(), (name, self.device.page.url, self.device.text)
        self.said += faults_of(self.device, name)


@pytest.fixture
def final_drive(yard: Any, procedures: Any) -> None:
    """A procedure that was read against its source, and a second wrench, too small for it."""
    digest = enter_procedure(yard.workshop, procedures / "final-drive.toml", Say(yard.foreman))
    read_against_source(yard.workshop, digest, "", Say(yard.mechanic))
    add_wrench(yard.workshop, NewWrench("setting", "small one", "2 N·m", "20 N·m"), Say(yard.foreman))


@pytest.mark.usefixtures("final_drive")
def test_from_the_motorcycle_to_the_last_step(signed_in: SignedIn, yard: Any) -> None:
    """The way of whoever does the work."""
    tablet = signed_in("P-2")
    looks = Looks(tablet)
    looks.at("motorcycle", f"vehicle/{yard.vehicle}", has="by which procedure")
    tablet.tap("Begin", odometer="12000")
    looks.at("warnings", has="before the first step")
    looks.at("motorcycles", "bench", has="open work")
    tablet.open("job/1?read=1")
    looks.at("run-of-steps", has="front sprocket nut loosened")
    looks.at("step", "job/1/step/bearings-look", has="wheel and carrier bearings")
    looks.at("part", "job/1/fit/rear-sprocket", has="fitted as stated")
    tablet.open("job/1/tighten/caliper-carrier-bolt")
    looks.at("which-wrench", has="which wrench?")
    tablet.tap("W-1")
    looks.at("tighten", has="turned, then clicked")
    looks.at("tighten-group", "job/1/tighten/sprocket-bolt", has="stage")
    tablet.open("job/1/tighten/caliper-carrier-bolt").unfold("Wrench W-1: another").tap("W-2 small one")
    looks.at("not-with-this-wrench", has="not with w-2")
    looks.at("measure", "job/1/measure/slack", has="measured")
    looks.at("measure-alignment", "job/1/measure/alignment", has="measured")
    looks.at("mark", "job/1/mark/caliper-carrier-bolt", has="paint one line")
    looks.at("loosen", "job/1/loosen/caliper-carrier-bolt", has="why it is undone")
    tablet.open("job/1?read=1").tap("Done")
    looks.at("echo", has="recorded")
    looks.at("undo", "job/1/undo/job", has="take it back")
    looks.at("work", "job/1/work", has="everything of this job")
    tablet.open("job/1/hand-over/job").tap("It has left", odometer="11000", why="asked for")
    looks.at("refused", has="not recorded")
    assert [] == looks.said


def test_from_the_check_to_the_hand_over(signed_in: SignedIn, yard: Any, procedures: Any) -> None:
    """What a second person and the foreman see."""
    job = yard.open(procedures / "rear-wheel.toml")
    desk = signed_in("P-2")
    looks = Looks(desk)
    yard.fasten(job, yard.workshop.job(job).procedure.item("rear-axle-nut"))
    yard.loosen(job, "rear-axle-nut")
    desk.sign_in("P-1")
    looks.at("release-with-stops", f"job/{job}/release/job", has="no release yet")
    desk.tap("Permit it in writing")
    looks.at("concession", has="technical basis")
    looks.at("hand-over-with-stops", f"job/{job}/hand-over/job", has="it leaves with 4 stops")
    yard.work(job)
    yard.loosen(job, "rear-axle-nut")
    tighten(yard.workshop, job, "rear-axle-nut", Tighten(Outcome.TURNED_CLICKED, yard.wrench, "80 lbf·ft"), Say("P-2"))
    desk.sign_in("P-1")
    looks.at("check", f"job/{job}/check/rear-axle-nut", has="a second person looks")
    desk.sign_in("P-2")
    looks.at("check-of-own", f"job/{job}/check/rear-axle-nut", has="somebody else signs in")
    log_says(yard, job, "rear-axle-nut", "104.5 N·m")
    looks.at("confirm-a-log", f"job/{job}/confirm-logged/rear-axle-nut", has="w-1 showed it on")
    looks.at("work-with-a-log", f"job/{job}/work", has="a log is to be confirmed")
    assert [] == looks.said


def test_after_the_first_ride(signed_in: SignedIn, yard: Any, procedures: Any) -> None:
    """The re-check, a turned mark, and the job that follows."""
    job = yard.open(procedures / "rear-wheel.toml")
    yard.work(job)
    phone = signed_in("P-1")
    looks = Looks(phone)
    looks.at("release", f"job/{job}/release/job", has="no stop stands")
    phone.tap("Release")
    looks.at("hand-over", has="it leaves the workshop")
    phone.tap("It has left", odometer="12000")
    looks.at("away", has="it left the workshop on")
    looks.at("labels", f"job/{job}/labels", has="print")
    phone.sign_in("P-2")
    looks.at("motorcycle-away", f"vehicle/{yard.vehicle}", has="it is here again")
    looks.at("re-check-postponed", f"job/{job}/postpone-recheck/job", has="until which day")
    looks.at("re-check-refused", f"job/{job}/refuse-recheck/job", has="what the owner says")
    looks.at("re-check-referred", f"job/{job}/refer-recheck/job", has="which workshop")
    looks.at("re-check-answered", f"job/{job}/answer-recheck/job", has="what they found")
    yard.later(days=7)
    yard.arrive(at_m=12_090_000)
    phone.sign_in("P-2")
    looks.at("mark-looked-at", f"job/{job}/mark/rear-axle-nut?look=1", has="one unbroken line")
    looks.at("re-check", f"job/{job}/recheck/job", has="still to look at")
    yard.mark(job, "rear-axle-nut", MarkState.DISTURBED, "4 mm apart")
    looks.at("follow", f"job/{job}/open/rear-axle-nut", has="do not ride")
    looks.at("motorcycle-with-stop", f"vehicle/{yard.vehicle}", has="stop")
    looks.at("today", "today", has="judged in full")
    assert [] == looks.said


def test_the_life_of_a_motorcycle(signed_in: SignedIn, yard: Any, procedures: Any) -> None:
    """Two jobs on it, with values, a chart and parts; one act was struck and one told late."""
    for _ in range(2):
        job = yard.open(procedures / "final-drive.toml")
        yard.work(job)
        yard.leave(job)
        yard.later(days=30)
    release = next(each.sequence for each in yard.workshop.book.entries(f"job/{job}") if each.what == "released")
    strike(yard.workshop, job, release, "on the wrong job", Say(yard.foreman))
    desk = signed_in("P-2")
    looks = Looks(desk)
    desk.open(f"vehicle/{yard.vehicle}/life")
    desk.page.evaluate("document.querySelectorAll('details').forEach(each => each.open = true)")
    looks.at("life", has="line of time")
    looks.at("job-then", f"job/{job}/as-of", has="as it stood on")
    looks.at("two-jobs", "compare?one=1&other=2", has="what differs")
    looks.at("which-two-jobs", "compare", has="show both")
    assert [] == looks.said


def test_the_desk(signed_in: SignedIn, yard: Any, procedures: Any) -> None:
    """What was signed for: a job with everything that can stand out, and days that cannot be meant."""
    job = yard.open(procedures / "rear-wheel.toml")
    yard.work(job)
    yard.loosen(job, "rear-axle-nut")
    strike(yard.workshop, job, yard.workshop.book.head().sequence, "the wrong job", Say("P-1"))
    yard.leave(job)
    desk = signed_in("P-1")
    looks, day = Looks(desk), yard.workshop.today()
    looks.at("signed", f"signed?from={day}&to={day}", has="entries struck: job 1")
    looks.at("signed-refused", "signed?from=2199-01-01", has="has not come yet")
    assert [] == looks.said


def test_what_is_found(signed_in: SignedIn, yard: Any, procedures: Any) -> None:
    """By a word that stands in several places, by one that stands nowhere, and by too little of one."""
    yard.work(yard.open(procedures / "front-wheel.toml"))
    change_vehicle(yard.workshop, yard.vehicle, VehicleChange(personal={"plate": "X-AB 12"}), Say("P-1"))
    add_vehicle(yard.workshop, "Heron 300, red", "Heron 300", 2029, {"plate": "X-AB 34"}, Say("P-1"))
    desk = signed_in("P-1")
    looks = Looks(desk)
    desk.open("today").tap("Find", find="x ab")
    looks.at("found", has="plate: x-ab 34")
    desk.tap("Find", find="wheel")
    looks.at("found-in-several", has="front wheel")
    desk.tap("Find", find="qwxyz")
    looks.at("not-found", has="nothing is found by “qwxyz”")
    desk.tap("Find", find="x")
    looks.at("too-little", has="at least three letters")
    assert [] == looks.said


def test_the_card_of_an_owner(signed_in: SignedIn, yard: Any, procedures: Any) -> None:
    """With all that is known and said, and with nothing; each change is folded away, and asked back."""
    yard.work(yard.open(procedures / "rear-wheel.toml"))
    yard.leave("1")
    told = {"plate": "X-AB 12", "frame_number": "KS5000417", "contact": "Ada Vorlage, Mill Lane 4, 0660 123 45 67"}
    change_vehicle(yard.workshop, yard.vehicle, VehicleChange(personal=told), Say("P-1"))
    agree_contact(yard.workshop, yard.vehicle, Contact(mail="ada@yard.example"), Say("P-1"))
    add_vehicle(yard.workshop, "Heron 300, red", "Heron 300", 2029, {"contact": "Ada Vorlage"}, Say("P-1"))
    report_all_loosened(yard.workshop, yard.vehicle, ["rear-axle-nut"], "tyre changed elsewhere", Say("P-1"))
    desk = signed_in("P-1")
    looks = Looks(desk)
    looks.at("owner-card", f"vehicle/{yard.vehicle}/owner", has="heron 300, red")
    desk.open(f"vehicle/{yard.vehicle}/owner").unfold("Forget the owner")
    desk.page.locator('[name="yes"]:visible').check()
    desk.tap("Erase it")
    looks.at("owner-forgotten", has="nothing is known of the owner")
    assert [] == looks.said


def test_the_office(signed_in: SignedIn, yard: Any) -> None:
    """Wrenches with all that is told of them, people and settings; each with a form that was refused."""
    desk = signed_in("P-1")
    looks = Looks(desk)
    looks.at("office", "office", has="what the workshop keeps")
    looks.at("office-wrenches", "office/wrenches", has="enter a wrench")
    looks.at("office-calibration", f"office/wrench/{yard.wrench}/calibrate", has="number of the certificate")
    point = {"found-1-at": "100", "found-1-readings": "9.5 95 95"}
    desk.tap("Record this calibration", on="2031-04-01", certificate="C-17", **point)
    looks.at("office-calibration-refused", has="is the unit right on both sides?")
    desk.tap("Record this calibration", **{"found-1-readings": "95 95 95"})
    looks.at("office-wrench-found-out", has="it may not be used")
    looks.at("office-people", "office/people", has="who works here")
    desk.tap("Enter them", name="Basto Quill", role="mechanic")
    looks.at("office-person-refused", has="is entered already")
    desk.open("office/person/P-2").unfold("Set another PIN").tap("Set the PIN of P-2", new="271829", again="271829")
    looks.at("office-person", has="the pin is set")
    looks.at("office-settings", "office/settings", has="address that labels open")
    desk.open("office/settings/single_handed").tap("Show what that would change", to="yes")
    looks.at("office-setting", has="one person alone, in place of several people")
    desk.open("office/settings/quiet_from").tap("Show what that would change", to="30")
    looks.at("office-setting-refused", has="30: the quiet begins")
    looks.at("office-motorcycles", "office/motorcycles", has="enter a new one")
    looks.at("new-motorcycle", "motorcycle/new", has="kept apart")
    looks.at("office-motorcycle", f"office/motorcycle/{yard.vehicle}", has="it will not come back")
    looks.at("office-labels", "office/labels", has="of jobs and motorcycles")
    looks.at("office-check", f"office/wrench/{yard.wrench}/check", has="the tester, as you call it")
    yard.later(minutes=11)
    desk.tap("Record this check", tester="tester 1")
    looks.at("asleep-while-typing", has="what you typed goes on")
    assert [] == looks.said


def test_the_procedures(signed_in: SignedIn) -> None:
    """Begun, typed with a mistake, pasted, seen as at the bench, entered, and read by somebody else."""
    desk = signed_in("P-1")
    looks = Looks(desk)
    desk.open("office/procedures").unfold("Write a procedure").tap("Begin", title="Swing arm")
    looks.at("draft-begun", has="to put right before it can be entered")
    source = {"document": "Heron 300 manual", "edition": "2", "model": "Heron 300", "years": "2028 2031"}
    desk.open("office/draft/swing-arm/new-source").tap("Keep it", **source)
    desk.open("office/draft/swing-arm/new-tighten").tap("Keep it", name="swing arm nut", torque="88 Nmm", count="six")
    looks.at("draft-piece", has="kept. 3 to put right, told at the field")
    desk.tap("Keep it", torque="88 N·m", tolerance="10 %", page="7-2", count="")
    looks.at("draft", has="see it as the bench shows it")
    desk.open("office/draft/swing-arm/table").tap("Look at it", table="Fastener;Torque;Page\nlink bolt;45 Nmm;7-3")
    looks.at("draft-table", has="line 2: link bolt")
    looks.at("draft-bench", "office/draft/swing-arm/bench", has="no re-check is planned")
    looks.at("draft-recheck", "office/draft/swing-arm/recheck", has="when it is due")
    desk.open("office/draft/swing-arm").tap("Enter it")
    looks.at("procedure", has="somebody else reads it")
    entered = desk.page.url.rpartition("/")[2]
    looks.at("procedures", "office/procedures", has="not read against its source yet")
    Looks(signed_in("P-2")).at("procedure-read", f"procedure/{entered}", has="take the document itself")
    assert [] == looks.said


def test_labels(signed_in: SignedIn, yard: Any, procedures: Any) -> None:
    """What is printed after the hand-over, of a job and of a person, and who comes with a tag."""
    yard.open(procedures / "front-wheel.toml")
    yard.work("1")
    yard.later(days=1, hours=2)
    desk = signed_in("P-1")
    looks = Looks(desk)
    looks.at("labels-on-what", "job/1/labels", has="what do you print on?")
    settle(yard.workshop, {"label_stock": "a4-3x8", "label_printer": "desk"}, Say(yard.foreman))
    desk.open("job/1/release/job").tap("Release").tap("It has left", odometer="12001")
    looks.at("handed-over", has="print the job label and the owner's tag")
    looks.at("labels", "job/1/labels", has="print the mark card alone")
    looks.at("label-left-out", "job/1/labels.pdf?kind=owner&stock=roll-50x30", has="not all of it has room")
    looks.at("tag", "person/p-2/labels", has="print the person's tag")
    looks.at("sign-in-by-tag", "sign/p-2", has="whoever signs in now takes over")
    looks.at("wrench-at-work", f"w/{yard.wrench}", has="work with this wrench on job 1")
    assert [] == looks.said


def test_signing_in_and_devices(let_in: Callable[..., Device], yard: Any) -> None:
    """Who is at the tablet, and which tablets there are."""
    tablet = let_in()
    looks = Looks(tablet)
    looks.at("sign-in", "sign", has="your number")
    tablet.tap("Sign in", person="P-2", pin="000001")
    looks.at("sign-in-refused", has="do not belong together")
    tablet.sign_in("P-2")
    yard.later(minutes=11)
    looks.at("asleep", "bench", has="still p-2?")
    tablet.tap("Sign in", pin="314159")
    looks.at("leave", "leave", has="sign out: change the person")
    tablet.sign_in("P-1")
    looks.at("devices", "devices", has="let a device in")
    tablet.tap("Set the PIN of P-1", pin="123456")
    looks.at("devices-refused", has="anybody would guess")
    tablet.tap("Show its code", name="tablet at lift 3")
    looks.at("invited", has="by its camera")
    given = invite(yard.workshop, Say(yard.foreman, came=Came("terminal")), "phone")
    looks.at("admit", f"admit/{given.code.lower()}", has="is it this one?")
    assert [] == looks.said


def test_what_strangers_see(let_in: Callable[..., Device], yard: Any, procedures: Any, network: str) -> None:
    """The record behind a label, a wrench, the form, and what is not there."""
    job = yard.open(procedures / "final-drive.toml")
    yard.work(job)
    yard.leave(job)
    yard.later(days=20)
    phone = let_in()
    phone.context.clear_cookies()
    looks = Looks(phone)
    looks.at("record", f"r/{yard.token(job)}/record", has="no stop stands")
    yard.mark(job, "rear-axle-nut", MarkState.DISTURBED)
    looks.at("record-with-stop", f"r/{yard.token(job)}/record", has="disturbed")
    looks.at("form", "/", has="open the record")
    looks.at("wrench", f"w/{yard.wrench}", has="torque wrench")
    looks.at("not-found", "r/wrong", has="token")
    authority_of(yard.workshop.book.path, frozenset({network}), yard.workshop.clock).find_or_make()
    looks.at("authority", "authority", has="sha-256 of the certificate")
    looks.at("turned-away", "bench", has="a foreman lets in")
    assert [] == looks.said


def test_forced_colours_and_paper(let_in: Callable[..., Device], yard: Any, procedures: Any) -> None:
    """With colours of the reader's own the painted line and what is black stay to be seen; paper is white, whole, and
    has no form on it.
    """
    job = yard.open(procedures / "final-drive.toml")
    yard.work(job)
    yard.leave(job)
    yard.later(days=30)
    page = let_in().open(f"r/{yard.token(job)}/record").page

    page.emulate_media(color_scheme="dark", forced_colors="active")
    late = page.locator(".late").first
    assert late.evaluate("e => getComputedStyle(e).borderTopWidth") != "0px"
    drawn = page.locator(".line").first.evaluate("e => getComputedStyle(e).stroke")
    assert drawn == "rgb(204, 51, 0)"
    page.emulate_media(media="print", forced_colors="none")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert page.locator("details p, details table").first.evaluate("e => e.checkVisibility()")
    page.goto(page.url.partition("/r/")[0])
    page.emulate_media(media="print")
    assert not page.locator("form").first.is_visible()


def test_pictures_of_a_procedure(signed_in: SignedIn, yard: Any, procedures: Any) -> None:
    """Of a part over the whole width; beside what is measured a small one, which opens the large one in its place.

    Which way the closed end of a clip points is drawn beside its words, as large as it can be told apart.
    """
    yard.open(procedures / "with-pictures" / "clip-link.toml")
    phone = signed_in("P-2")
    looks = Looks(phone)
    looks.at("part-with-picture", "job/1/fit/clip-link", has="against the way of travel")
    drawn = [box for each in phone.page.locator("svg.drawn").all() if (box := each.bounding_box())]
    wide, whole = phone.page.locator(".shown img").bounding_box(), phone.page.locator(".shown img").evaluate(WHOLE)
    phone.open("job/1/measure/slack")
    small, large = phone.page.locator(".shown summary img"), phone.page.locator(".shown>img")
    small.evaluate("each => each.decode()")
    before = small.evaluate(WHOLE), large.evaluate(WHOLE)
    looks.at("measure-with-picture", has="larger")  # which unfolds everything
    large.evaluate("each => each.decode()")

    assert [] == looks.said
    assert 2 == len(drawn)
    assert min(box["width"] for box in drawn) >= 120
    assert wide
    assert wide["width"] > 300
    assert "1200 × 720" == whole
    assert ("320 × 187", "0 × 0") == before
    assert ("1200 × 700", False) == (large.evaluate(WHOLE), small.is_visible())


def test_other_programs_and_the_lists(signed_in: SignedIn, yard: Any, left: str) -> None:
    """What a foreman sees of them, the key that is shown once, and each list as a table."""
    assert left == "1"
    tablet = signed_in("P-1")
    disclose(yard.workshop, Say(yard.foreman), {"vehicle/V-1": ["plate"]})
    looks = Looks(tablet)
    looks.at("programs", "programs", has="none was let in yet")
    tablet.tap("Let it in", name="accounts")
    looks.at("program-key", has="it is shown this once")
    looks.at("programs-let-in", "programs", has="has not asked yet")
    for name in ("jobs", "rechecks?ahead=92", "vehicles", "wrenches", "people", "procedures", "disclosures"):
        looks.at(name.partition("?")[0], name, has="save as a table")

    assert [] == looks.said
