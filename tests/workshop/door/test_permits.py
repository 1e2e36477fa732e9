"""Who may do what: every row of the table against the real act, done by somebody of every role."""

import shutil
from collections.abc import Callable, Iterator, Mapping
from datetime import date, time
from pathlib import Path
from random import Random

import pytest

from torqueaudit.book import queries
from torqueaudit.book.secrets import Secrets, default_place
from torqueaudit.ledger.entry import document_of, hash_of
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.job.acts import Measure, Opening, Part, Permission, Postponement, RecheckResult, Tighten
from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome
from torqueaudit.model.job.road import Half
from torqueaudit.model.log.mapping import read_mapping
from torqueaudit.model.log.rows import LogRow
from torqueaudit.model.move_in.rows import ListedVehicle, ListedWrench
from torqueaudit.model.recheck.reminders import ReminderKey, ReminderKind
from torqueaudit.model.register.acts import PersonChange
from torqueaudit.model.register.people import Person
from torqueaudit.model.register.permits import PERMITS, ROLES, ActName, acts_of
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.shown.reminder import Contact
from torqueaudit.model.vehicle.acts import NewVehicle, VehicleChange
from torqueaudit.model.vehicle.exchange import Replaced
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.model.wrench.acts import Calibrate, CheckWrench, NewWrench, WrenchChange
from torqueaudit.photo import Harmless
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, play, procedure_head
from torqueaudit.workshop.customers.changes import forget_owner
from torqueaudit.workshop.door.ledger import ledger_entries
from torqueaudit.workshop.door.seal import change_key
from torqueaudit.workshop.door.unread import strike_unread
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.concessions import concede
from torqueaudit.workshop.jobs.confirming import confirm_logged
from torqueaudit.workshop.jobs.fasteners import loosen, see_mark, tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.logs import LogLook, enter_logged, enter_row, look_at_log
from torqueaudit.workshop.jobs.measurements import measure
from torqueaudit.workshop.jobs.photos import erase_photo, photograph
from torqueaudit.workshop.jobs.release import hand_over, release
from torqueaudit.workshop.jobs.steps_and_parts import do_step, fit
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.jobs.undo import undo
from torqueaudit.workshop.move_in.move_in import enter_list
from torqueaudit.workshop.move_in.rows import Comes, ListLook
from torqueaudit.workshop.move_in.rows import RowLook as ListedRow
from torqueaudit.workshop.move_in.vehicles import VehicleEntering
from torqueaudit.workshop.move_in.wrenches import enter_wrench_row
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.recheck.arranging import answer_recheck, postpone_recheck, refer_recheck, refuse_recheck
from torqueaudit.workshop.recheck.asking import ask_day
from torqueaudit.workshop.recheck.reminding import Wanted
from torqueaudit.workshop.recheck.road import recheck, report_ride
from torqueaudit.workshop.recheck.sending import record_sent
from torqueaudit.workshop.register.people import add_person, change_person, end_person
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.restore import say_lost
from torqueaudit.workshop.search.disclosures import disclose, disclosures_of
from torqueaudit.workshop.signing.devices import admit, invite, withdraw_device
from torqueaudit.workshop.signing.pins import require_pin, set_pin, unlock
from torqueaudit.workshop.signing.programs import let_in, withdraw_program
from torqueaudit.workshop.vehicles.contact import NEW_OWNER, agree_contact, end_contact
from torqueaudit.workshop.vehicles.corrections import change_vehicle, strike_of_vehicle
from torqueaudit.workshop.vehicles.exchange import exchange_instrument
from torqueaudit.workshop.vehicles.gone import gone
from torqueaudit.workshop.vehicles.vehicle import add_vehicle, report_loosened
from torqueaudit.workshop.vehicles.visits import arrive
from torqueaudit.workshop.wrenches.calibrations import calibrate, check_wrench
from torqueaudit.workshop.wrenches.corrections import change_wrench
from torqueaudit.workshop.wrenches.hours import time_look
from torqueaudit.workshop.wrenches.strikes import strike_of_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench, estimate_use, mishandle, withdraw_wrench

BY = {
    "mechanic": "P-5",
    "trainee": "P-6",
    "foreman": "P-7",
    "owner": "owner",
    "import": "import",
    "setup": "setup",
    "night": "night",
}
TOUR = """
[[work]]
step = "walk"
name = "walk around it"
says = "Look at everything."

[[work]]
fit = "cap"
name = "dust cap"
part = "dust cap"

[[work]]
measure = "slack"
name = "chain slack"
unit = "mm"

[recheck]
distance = "100 km"
measurements = ["slack"]
"""
CARD = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 11:00 job 2 opened axle on V-2 at 12000 km by P-2
2031-04-02 11:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 11:06 rear-axle-nut mark intact by P-2
2031-04-02 11:09 rear-axle-nut checked mark seen by P-3
2031-04-02 11:15 released by P-1
2031-04-02 11:20 handed over at 12010 km with stops: fetched at once by P-2
2031-04-03 10:00 rear-axle-nut mark intact by P-2
2031-04-03 11:00 job 3 opened tour on V-2 at 12010 km by P-2
2031-04-03 12:00 job 4 opened axle on V-1 at 12000 km by P-2
2031-04-03 12:05 rear-axle-nut no torque wrench fits by P-2
2031-04-03 12:06 rear-axle-nut mark intact by P-2
"""

PICTURE = Harmless(b"a JPEG", b"a small one")
Deed = Callable[[Workshop, Say], object]
POINTS = ("100 N·m: 100 100 100 100 100",)


def of_procedure(work: Callable[[Workshop, Path, Say], object]) -> Deed:
    """An act on the procedure that lies in a file beside the book."""
    return lambda w, say: work(w, w.book.path.with_name("another.toml"), say)


def standing(workshop: Workshop, job: str) -> int:
    """The entry that tightened a job's nut last."""
    return workshop.record(job).current("rear-axle-nut").standing or 0


def released(workshop: Workshop) -> int:
    """The entry that released job 2."""
    release_of_it = workshop.record("2").release
    assert release_of_it
    return release_of_it.noted.entry


def read_another(workshop: Workshop, file: Path, say: Say) -> None:
    """Enter a procedure as P-2, and have it read by somebody else."""
    enter_procedure(workshop, file, Say("P-2"))
    read_against_source(workshop, "another", "", say)


def strike_a_check(workshop: Workshop, say: Say) -> None:
    """Check a wrench as P-1, and have that struck by somebody else."""
    check_wrench(workshop, "W-1", CheckWrench("own", POINTS), Say("P-1"))
    strike_of_wrench(workshop, "W-1", workshop.book.head().sequence, "typed twice", say)


def time_a_check(workshop: Workshop, say: Say) -> None:
    """Check a wrench as P-1, and have its hour told by somebody else."""
    check_wrench(workshop, "W-1", CheckWrench("own", POINTS), Say("P-1"))
    time_look(workshop, "W-1", workshop.book.head().sequence, time(0, 1), say)


def strike_own_report(workshop: Workshop, say: Say) -> None:
    """Report a fastener as undone, and take that back."""
    told = report_loosened(workshop, "V-1", "rear-axle-nut", "tyre changed", say)
    strike_of_vehicle(workshop, "V-1", told, "it was another one", say)


def strike_anothers_report(workshop: Workshop, say: Say) -> None:
    """Report a fastener as undone as P-2, and have that taken back by somebody else."""
    told = report_loosened(workshop, "V-1", "rear-axle-nut", "tyre changed", Say("P-2"))
    strike_of_vehicle(workshop, "V-1", told, "it was another one", say)


def answer_a_referred_one(workshop: Workshop, say: Say) -> None:
    """Hand a re-check to another workshop as P-2, and have somebody else say what that one found."""
    refer_recheck(workshop, "2", "the next valley", "it is nearer", Say("P-2"))
    answer_recheck(workshop, "2", RecheckResult(in_order=True), say)


def leave_by_a_day(workshop: Workshop, say: Say) -> None:
    """Let a motorcycle leave that has no instrument, by a procedure that plans its re-check by distance alone."""
    digest = next(row.digest for row in queries.procedures(workshop.book, "tour"))
    vehicle = add_vehicle(workshop, "bike-9", "Kestrel 500", 2030, {}, Say("P-1"), Instrument.NONE)
    job = open_job(workshop, Opening(vehicle, digest), Say("P-2"))
    hand_over(workshop, job, None, say, "fetched at once", date(2031, 5, 1))


def ask_for_today(workshop: Workshop, say: Say) -> None:
    """Hand a vehicle over as P-2, and have somebody else ask for a day of its re-check."""
    hand_over(workshop, "2", 12_020_000, Say("P-2"), "fetched at once")
    ask_day(workshop, "2", workshop.today(), Half.MORNING, say)


def loosened(workshop: Workshop) -> int:
    """The entry of a nut that was loosened, and why."""
    loosen(workshop, "4", "rear-axle-nut", "wheel out again", Say("P-2"))
    return workshop.book.head().sequence


def undo_own_act(workshop: Workshop, say: Say) -> None:
    """Answer a step, and take that back."""
    do_step(workshop, "3", "walk", "yes", "", say)
    undo(workshop, "3", "", say)


def undo_anothers_act(workshop: Workshop, say: Say) -> None:
    """Answer a step as P-2, and have that taken back by somebody else."""
    do_step(workshop, "3", "walk", "yes", "", Say("P-2"))
    undo(workshop, "3", "", say)


def unread(workshop: Workshop) -> int:
    """An entry of a kind that a later version writes; its number."""
    head, like = workshop.book.head(), workshop.book.entries("vehicle/V-1")[-1]
    later = like._replace(
        sequence=head.sequence + 1, id="later", number=like.number + 1, kind="painted.1", previous=head.hash
    )
    text = document_of(later)
    with workshop.book.engine.writing():
        workshop.book.engine.insert(later.sequence, text, hash_of(text))
    return later.sequence


def withdraw_a_program(workshop: Workshop, say: Say) -> None:
    """One that the setup let in."""
    given = let_in(workshop, Say("setup"), "accounts", ProgramRole.READS, workshop.today())
    withdraw_program(workshop, say, given.program, "kept elsewhere")


def withdraw_a_device(workshop: Workshop, say: Say) -> None:
    """Let a device in as P-1, and have it withdrawn by somebody else."""
    done = admit(workshop, invite(workshop, Say("P-1"), "phone").code)
    withdraw_device(workshop, say, done.device, "left on a train")


def erase_a_photo(workshop: Workshop, say: Say) -> None:
    """Photograph work as P-2, and have the photo erased by somebody else."""
    (entry,) = photograph(workshop, "1", ["rear-axle-nut"], PICTURE, "", Say("P-2"))
    erase_photo(workshop, "1", entry.said["digest"], "a plate was to be read", say)


MAPPING = """
format = 1
moment = { column = "time" }
torque = { column = "torque" }
unit = { always = "N·m" }
wrench = { always = "W-2" }
job = { always = "4" }
fastener = { always = "rear-axle-nut" }
"""


def looked_at(workshop: Workshop, by: str, minute: int = 30) -> LogLook:
    """A log of one row, as somebody would have it read."""
    mapping = read_mapping(MAPPING, workshop.plugins.units)
    log = f"time,torque\n2031-04-03T12:{minute}:00Z,108.5\n".encode()
    return look_at_log(workshop, "log.csv", log, mapping, Say(by))


def read_and_confirm(workshop: Workshop, say: Say) -> None:
    """Have a log read, and confirm its row: the row itself is said by the import."""
    enter_logged(workshop, looked_at(workshop, say.by), say)
    confirm_logged(workshop, "4", "rear-axle-nut", say)


def enter_one_row(workshop: Workshop, say: Say) -> None:
    """Have a log looked at as P-2, and its row entered by somebody else."""
    (row,) = looked_at(workshop, "P-2").rows
    enter_row(workshop, row, {"run_by": "P-2", "file": "0" * 64, "line": 2}, say)


TOLD = ListedVehicle(NewVehicle("bike-9", "Kestrel 500"), {"plate": "YD 9"})


def move_in(workshop: Workshop, say: Say) -> None:
    """Have a list of one row entered: the row itself is said by the import."""
    row = ListedRow(LogRow(2, {}), Comes.ENTERED, "", told=TOLD)
    enter_list(workshop, ListLook("0" * 64, (), (row,)), say)


def own_or(another: str, say: Say) -> str:
    """Who says it; somebody else where that is nobody's number."""
    return say.by if say.by.startswith("P-") else another


def unlock_somebody(workshop: Workshop, say: Say) -> None:
    """Try wrong PINs of P-2, and have somebody else unlock it."""
    for _ in range(5):
        with pytest.raises(Refused):
            require_pin(workshop, "", "P-2", "999990")
    unlock(workshop, say, "P-2")


PERMISSION = Permission(
    rule="no-wrench-fits", subject="rear axle nut", basis="by hand", limit="100 km", expires_on=date(2031, 5, 1)
)


def reminder_of_job_2(workshop: Workshop) -> Wanted:
    """As if its owner had been reminded."""
    record = workshop.record("2")
    key = ReminderKey("2", record.token, leaving=1, target=1, kind=ReminderKind.DUE)
    return Wanted(record.vehicle, key, None)


DEEDS: Mapping[ActName, Deed] = {
    ActName.SETTLE: lambda w, say: settle(w, {"late_minutes": 90}, say),
    ActName.ENTER_PERSON: lambda w, say: add_person(w, "Hortense Sample", ("mechanic",), "", say),
    ActName.CHANGE_PERSON: lambda w, say: change_person(w, "P-3", PersonChange(roles=("foreman",)), say),
    ActName.END_PERSON: lambda w, say: end_person(w, "P-3", None, "", say),
    ActName.ENTER_VEHICLE: lambda w, say: add_vehicle(w, "bike-4", "Kestrel 500", 2030, {}, say),
    ActName.CHANGE_VEHICLE: lambda w, say: change_vehicle(w, "V-1", VehicleChange(year=2029), say),
    ActName.ENTER_WRENCH: lambda w, say: add_wrench(w, NewWrench("setting", "red"), say),
    ActName.CHANGE_WRENCH: lambda w, say: change_wrench(w, "W-1", WrenchChange(tag="red"), say),
    ActName.ENTER_PROCEDURE: of_procedure(enter_procedure),
    ActName.READ_PROCEDURE: of_procedure(read_another),
    ActName.MOVE_IN: move_in,
    ActName.MOVE_VEHICLE_IN: lambda w, say: VehicleEntering(w, "0" * 64, "P-1", say).enter(2, TOLD),
    ActName.MOVE_WRENCH_IN: lambda w, say: enter_wrench_row(
        w, ListedWrench(NewWrench("setting", "red"), "D-1"), {}, say
    ),
    ActName.OPEN: lambda w, say: open_job(w, Opening("V-1", "axle", second=True), say),
    ActName.TIGHTEN: lambda w, say: tighten(
        w, "1", "rear-axle-nut", Tighten(Outcome.TURNED_CLICKED, "W-1", "108 N·m"), say
    ),
    ActName.READ_LOG: read_and_confirm,
    ActName.ENTER_LOGGED: enter_one_row,
    ActName.CONFIRM_LOGGED: lambda w, say: confirm_logged(w, "4", "rear-axle-nut", say),
    ActName.LOOSEN: lambda w, say: loosen(w, "1", "rear-axle-nut", "wheel out again", say),
    ActName.MARK: lambda w, say: see_mark(w, "1", "rear-axle-nut", MarkState.INTACT, "", say),
    ActName.CHECK: lambda w, say: check(w, "1", "rear-axle-nut", CheckMethod.MARK_SEEN, "", say),
    ActName.MEASURE: lambda w, say: measure(w, "3", "slack", Measure("37 mm"), say),
    ActName.STEP: lambda w, say: do_step(w, "3", "walk", "yes", "", say),
    ActName.FIT: lambda w, say: fit(w, "3", "cap", Part("black cap"), say),
    ActName.PHOTOGRAPH: lambda w, say: photograph(w, "1", ["rear-axle-nut"], PICTURE, "", say),
    ActName.ERASE_PHOTO: erase_a_photo,
    ActName.STRIKE: lambda w, say: strike(w, "1", standing(w, "1"), "wrong nut", say),
    ActName.UNDO: undo_own_act,
    ActName.UNDO_ANOTHERS: undo_anothers_act,
    ActName.STRIKE_RELIED_ON: lambda w, say: strike(w, "2", released(w), "too early", say),
    ActName.CONCEDE: lambda w, say: concede(w, "4", PERMISSION, say),
    ActName.RELEASE: lambda w, say: release(w, "1", say),
    ActName.HAND_OVER: lambda w, say: hand_over(w, "1", 12_001_000, say),
    ActName.NAME_RECHECK_DAY: leave_by_a_day,
    ActName.RIDE: lambda w, say: report_ride(w, "2", 12_100_000, "", say),
    ActName.ASK_DAY: ask_for_today,
    ActName.RECHECK: lambda w, say: recheck(w, "2", 12_100_000, "", say),
    ActName.POSTPONE_RECHECK: lambda w, say: postpone_recheck(
        w, "2", Postponement(date(2031, 5, 2), None, "the owner is abroad"), say
    ),
    ActName.REFUSE_RECHECK: lambda w, say: refuse_recheck(w, "2", "no time", say),
    ActName.REFER_RECHECK: lambda w, say: refer_recheck(w, "2", "the next valley", "it is nearer", say),
    ActName.ANSWER_RECHECK: answer_a_referred_one,
    ActName.REPORT_LOOSENED: lambda w, say: report_loosened(w, "V-1", "rear-axle-nut", "tyre changed", say),
    ActName.ARRIVE: lambda w, say: arrive(w, "V-3", 12_100_000, say),
    ActName.EXCHANGE_INSTRUMENT: lambda w, say: exchange_instrument(
        w, "V-1", Replaced(Instrument.KM, 12_100_000, 0), say
    ),
    ActName.STRIKE_OF_VEHICLE: strike_own_report,
    ActName.STRIKE_ANOTHERS_REPORT: strike_anothers_report,
    ActName.GONE: lambda w, say: gone(w, "V-3", "scrapped", say),
    ActName.JUDGE_IN_FULL: lambda w, say: keep_in_full(w, night_of(w), say),
    ActName.AGREE_CONTACT: lambda w, say: agree_contact(w, "V-1", Contact(mail="owner@home.example"), say),
    ActName.END_CONTACT: lambda w, say: end_contact(w, "V-1", NEW_OWNER, say),
    ActName.REMIND: lambda w, say: record_sent(w, reminder_of_job_2(w), "mail", say),
    ActName.CALIBRATE: lambda w, say: calibrate(w, "W-1", Calibrate(date(2031, 4, 1), certificate="C-1"), say),
    ActName.CHECK_WRENCH: lambda w, say: check_wrench(w, "W-1", CheckWrench("own", POINTS), say),
    ActName.MISHANDLE: lambda w, say: mishandle(w, "W-1", "dropped", "fell off the bench", say),
    ActName.WITHDRAW_WRENCH: lambda w, say: withdraw_wrench(w, "W-1", "the ratchet slips", say),
    ActName.ESTIMATE_USE: lambda w, say: estimate_use(w, "W-1", 20, "lent out", date(2031, 4, 1), say),
    ActName.TIME_LOOK: time_a_check,
    ActName.STRIKE_OF_WRENCH: strike_a_check,
    ActName.STRIKE_UNREAD: lambda w, say: strike_unread(w, unread(w), "a later version wrote it", say),
    ActName.ERASE_WORDS: lambda w, say: erase_words(w, [loosened(w)], "it named a customer", say),
    ActName.NAME_KEY: lambda w, say: change_key(w, Secrets(default_place(), w.book.path), "the machine was sold", say),
    ActName.ADMIT_DEVICE: lambda w, say: admit(w, invite(w, say, "phone").code),
    ActName.WITHDRAW_DEVICE: withdraw_a_device,
    ActName.LET_PROGRAM_IN: lambda w, say: let_in(w, say, "accounts", ProgramRole.READS, w.today()),
    ActName.WITHDRAW_PROGRAM: withdraw_a_program,
    ActName.SET_PIN: lambda w, say: set_pin(w, say._replace(came=Came("page", "PIN")), own_or("P-2", say), "314159"),
    ActName.SET_ANOTHERS_PIN: lambda w, say: set_pin(w, say, "P-2", "314159"),
    ActName.UNLOCK: unlock_somebody,
    ActName.RESTORE: lambda w, say: say_lost(w, [w.book.head()], "the disk broke", say),
    ActName.FORGET: lambda w, say: forget_owner(w, "V-1", say),
    ActName.BE_SHOWN: lambda w, say: disclose(w, say, {"vehicle/V-1": ["plate"]}),
}
FIRST_ASKED = {  # the first is a part of the second, so that is asked first
    ActName.UNDO_ANOTHERS: ActName.UNDO,
    ActName.NAME_RECHECK_DAY: ActName.HAND_OVER,
    ActName.STRIKE_RELIED_ON: ActName.STRIKE,
    ActName.STRIKE_ANOTHERS_REPORT: ActName.STRIKE_OF_VEHICLE,
    ActName.SET_ANOTHERS_PIN: ActName.SET_PIN,
}


@pytest.fixture(scope="module")
def furnished_book(ready_made_book: Path, tmp_path_factory: pytest.TempPathFactory, installed_plugins: Plugins) -> Path:
    """Four jobs at four stages, and somebody of each role who had a hand in none of them."""
    folder = tmp_path_factory.mktemp("permits")
    book = Path(shutil.copy(ready_made_book, folder / "yard.book"))
    (folder / "tour.toml").write_text(procedure_head("tour") + TOUR, encoding="utf-8")
    with open_workshop(book, clock=Clock(), chance=Random(4), plugins=installed_plugins) as workshop:
        for name, role in (("Mechthild", "mechanic"), ("Tristan", "trainee"), ("Fordyce", "foreman")):
            add_person(workshop, f"{name} Sample", (role,), "P-1" if role == "trainee" else "", Say("P-1"))
        enter_procedure(workshop, folder / "tour.toml", Say("P-2"))
        play(workshop, CARD)
        workshop.clock.set("2031-04-03 13:00")  # type: ignore[attr-defined]  # the one above
        enter_logged(workshop, looked_at(workshop, "P-2", minute=10), Say("P-2"))
    return book


@pytest.fixture
def yard(furnished_book: Path, tmp_path: Path, installed_plugins: Plugins) -> Iterator[Workshop]:
    """A copy of that book, opened on the day after."""
    book = Path(shutil.copy(furnished_book, tmp_path / "yard.book"))
    (tmp_path / "another.toml").write_text(procedure_head("another") + TOUR, encoding="utf-8")
    clock = Clock("2031-04-04 08:00")
    with open_workshop(book, clock=clock, chance=Random(5), plugins=installed_plugins) as opened:
        yield opened


def test_every_act_has_its_row_and_is_tried() -> None:
    """An act without a row, or a row whose act nobody tries here, is an oversight."""
    assert set(ActName) == set(PERMITS)
    assert set(ActName) == set(DEEDS)


@pytest.mark.parametrize("role", BY)
@pytest.mark.parametrize("act", ActName)
def test_an_act_is_taken_from_the_roles_of_its_row_alone(yard: Workshop, act: ActName, role: str) -> None:
    """Whoever may not do it is told who may, and nothing of it is recorded."""
    before = yard.book.head().sequence
    if role in PERMITS[act]:
        DEEDS[act](yard, Say(BY[role]))

        assert BY[role] == _did_it(yard, act, before, BY[role])
        return
    first = FIRST_ASKED.get(act, act)
    stopped_by = act if role in PERMITS[first] else first
    who = f"{BY[role]} is {role}" if role in ROLES else f"{role} is nobody who works here"
    with pytest.raises(Refused) as caught:
        DEEDS[act](yard, Say(BY[role]))

    assert f"{who}; only a {' or '.join(PERMITS[stopped_by])} may do this" == str(caught.value)
    assert BY[role] not in {entry.who for entry in ledger_entries(yard, before + 1, None)}


def _did_it(yard: Workshop, act: ActName, before: int, who: str) -> str:
    """Who did it, as the entry behind those that were there tells.

    A disclosure is kept beside the ledger, and what was forgotten is told by nothing.
    """
    if act is ActName.FORGET:
        assert {} == yard.book.personal_of("vehicle/V-1")
        return who
    if act is ActName.BE_SHOWN:
        return disclosures_of(yard, "vehicle/V-1", 1)[0].by
    last = ledger_entries(yard, before + 1, None)[-1]
    return str(last.judged["run_by"]) if act is ActName.MOVE_IN else last.who


def test_nobody_does_an_act_under_a_number_that_nobody_has(yard: Workshop) -> None:
    """Also what anybody may do is done by somebody."""
    with pytest.raises(Refused, match="P-77: nobody of that number works here"):
        DEEDS[ActName.RIDE](yard, Say("P-77"))


def test_what_somebody_may_do_is_asked_of_the_same_table() -> None:
    """Two roles of one person add up."""
    one = acts_of(Person("P-5", ("mechanic",)))
    other = acts_of(Person("P-7", ("foreman",)))

    assert ActName.MARK in one
    assert ActName.RELEASE in other - one
    assert one | other == acts_of(Person("P-8", ("mechanic", "foreman")))
    told = {ActName.MARK, ActName.RIDE, ActName.ASK_DAY, ActName.REPORT_LOOSENED, ActName.STRIKE_OF_VEHICLE}
    told |= {ActName.ENTER_VEHICLE, ActName.END_CONTACT}
    assert told == acts_of(Person("owner", ("owner",)))
