"""A job of some fasteners alone: what it holds, what it is refused for, and what it leaves of the job it follows."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

import torqueaudit_plugins.demo
from torqueaudit.cli.command import commands_of, typed
from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Measure, Opening, Part, Tighten
from torqueaudit.model.job.facts import CheckMethod, MarkState, Outcome
from torqueaudit.model.judged.next import Next
from torqueaudit.model.recheck.state import RecheckState
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.job import JobView
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.testing import Clock, findings, play
from torqueaudit.web.record_page import record_page
from torqueaudit.workshop.bench.answer import bench_setting
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.fasteners import see_mark, tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.measurements import measure
from torqueaudit.workshop.jobs.release import release
from torqueaudit.workshop.jobs.steps_and_parts import do_step, fit
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.register.labels import replaced_by
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.vehicles.present import show_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.wrench import add_wrench

BY = Say("P-2")
PROCEDURES = Path(torqueaudit_plugins.demo.__file__ or "").parent / "procedures"

# Invented: these values must not be used on any vehicle.
DRIVE = """
[[work]]
step = "axle-look"
name = "axle by eye"
says = "Look."
look = true
[[work]]
fit = "tab-washer"
name = "tab washer"
part = "tab washer"
single_use = true
[[work]]
tighten = "front-nut"
name = "front nut"
torque = "100 N·m"
tolerance = "10 %"
after = ["tab-washer"]
single_use = ["tab-washer"]
mark = true
holds = "sprocket"
source = "manual"
page = "1"
[[work]]
measure = "slack"
name = "slack"
limit = "32 … 42 mm"
again_after = ["axle-nut"]
source = "manual"
page = "2"
[[work]]
tighten = "axle-nut"
name = "axle nut"
torque = "100 N·m"
tolerance = "10 %"
after = ["front-nut", "slack"]
mark = true
check = true
holds = "wheel"
source = "manual"
page = "3"
[[work]]
tighten = "clamp-bolt"
name = "clamp bolt"
count = 2
torque = "30 N·m"
tolerance = "10 %"
after = ["axle-nut"]
mark = true
source = "manual"
page = "4"
[[work]]
step = "brake-tried"
name = "brake tried"
says = "Try it."
after = ["axle-nut"]
proves = "brake"
[recheck]
days = 14
grace_days = 7
marks = "all"
measurements = ["slack"]
torques = ["clamp-bolt"]
"""
DONE = """
2031-04-02 10:00 job 1 opened drive on V-1 at 12000 km by P-2
2031-04-02 10:01 axle-look yes by P-2
2031-04-02 10:02 tab-washer fitted washer by P-2
2031-04-02 10:03 front-nut 100 N·m with W-1 by P-2
2031-04-02 10:04 front-nut mark intact by P-2
2031-04-02 10:05 slack measured 36 mm by P-2
2031-04-02 10:06 axle-nut 100 N·m with W-1 by P-2
2031-04-02 10:07 axle-nut mark intact by P-2
2031-04-02 10:08 axle-nut checked mark seen by P-3
2031-04-02 10:09 slack measured 37 mm by P-2
2031-04-02 10:10 clamp-bolt 30 N·m with W-1 by P-2
2031-04-02 10:11 clamp-bolt mark intact by P-2
2031-04-02 10:12 brake-tried yes by P-2
2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
"""
HERE = "2031-04-09 09:00 V-1 arrived at 12100 km by P-2\n"
MOVED = f"{DONE}{HERE}2031-04-09 09:01 job 1 axle-nut mark disturbed by P-2\n"
NUT_ANEW = """
2031-04-09 10:00 job 2 opened drive on V-1 at 12100 km after job 1 only axle-nut by P-2
2031-04-09 10:01 axle-nut loosened: its mark had moved by P-2
2031-04-09 10:02 slack measured 36 mm by P-2
2031-04-09 10:03 axle-nut 100 N·m with W-1 by P-2
2031-04-09 10:04 axle-nut mark intact by P-2
2031-04-09 10:05 axle-nut checked mark seen by P-3
2031-04-09 10:06 slack measured 35 mm by P-2
2031-04-09 10:07 brake-tried yes by P-2
2031-04-09 10:08 released by P-1
"""
STEP_IN_IT = "2031-04-09 09:02 job 1 axle-look no: a step in it by P-2\n"
LEFT_ANEW = "2031-04-09 10:20 job 2 handed over at 12101 km by P-1\n"


@pytest.fixture
def drive(workshop: Workshop, enter: Callable[..., str]) -> Workshop:
    """A workshop that knows the procedure of the drive."""
    enter("drive", DRIVE, title="Drive")
    return workshop


def then(view: JobView) -> list[tuple[str, str]]:
    return list(zip(view.next, commands_of(view), strict=True))


def typed_stops(view: JobView) -> list[str]:
    return [typed(each.sentence, each.see) for each in view.stops]


def test_vehicle_and_procedure_are_those_of_the_job_that_is_followed(drive: Workshop) -> None:
    """The job and the fastener are all that is to be told."""
    play(drive, MOVED)
    number = open_job(drive, Opening("", "", follows="1", only=("axle-nut",)), BY)
    view, of = show_job(drive, number), drive.record(number)

    assert ("V-1", "1", ("axle-nut",)) == (of.vehicle, of.follows, of.only)
    assert drive.record("1").digest == of.digest
    assert ("Drive (only the axle nut)", ("axle-nut",)) == (view.procedure.title, view.procedure.only)
    assert ["axle nut"] == [each.name for each in view.fasteners]
    assert ["slack", "brake-tried"] == [each.key for each in view.items]


def test_it_works_without_a_job_before_it(drive: Workshop) -> None:
    """Vehicle and procedure are told then, as for any other."""
    number = open_job(drive, Opening("V-2", "drive", only=("front-nut",)), BY)

    assert ["tab-washer"] == [each.key for each in show_job(drive, number).items]
    assert "100" == str(bench_setting(drive, number, "front-nut", "W-1").choice.setting)  # type: ignore[union-attr]


def test_one_bolt_of_a_group_stands_for_the_group(drive: Workshop) -> None:
    """The other bolts carry another load once one was undone; each is known once, whatever names it."""
    play(drive, DONE)
    number = open_job(drive, Opening("", "", follows="1", only=("clamp-bolt-2", "axle-nut", "clamp-bolt")), BY)

    assert ("axle-nut", "clamp-bolt") == drive.record(number).only
    assert "Drive (only the axle nut and clamp bolt 1 to 2)" == show_job(drive, number).procedure.title


REFUSED = [
    (Opening("V-2", "", follows="1", only=("axle-nut",)), "job 1 is on V-1; a job follows one on the same vehicle"),
    (Opening("", "axle", follows="1", only=("axle-nut",)), "job 1 goes by drive, edition 1 ("),
    (Opening("", "", follows="9", only=("axle-nut",)), "job 9: no such job"),
    (
        Opening("", "", follows="1", only=("axel-nut",)),
        'axel-nut: drive has no such fastener; did you mean "axle-nut"?',
    ),
    (Opening("", "", follows="1", only=("slack",)), "slack: is a measurement of drive, and no fastener"),
    (
        Opening("", "", follows="1", only=("clamp-bolt-3",)),
        "clamp-bolt-3: clamp bolt has no number 3; it has clamp-bolt-1 to clamp-bolt-2",
    ),
    (Opening("V-1", "drive", only=("axle-nut", "nut")), "nut: drive has no such fastener; did you mean"),
]


@pytest.mark.parametrize(("opening", "says"), REFUSED, ids=[says[:24] for _, says in REFUSED])
def test_what_cannot_be_meant_is_refused(drive: Workshop, opening: Opening, says: str) -> None:
    """In one sentence, and nothing is recorded."""
    play(drive, DONE)
    before = drive.book.head()
    with pytest.raises(Refused) as caught:
        open_job(drive, opening, BY)

    assert str(caught.value).startswith(says)
    assert before == drive.book.head()


def test_the_procedure_of_the_job_before_may_be_told_as_well(drive: Workshop) -> None:
    """By its name or its digest, as long as it is the same."""
    play(drive, DONE)
    digest = drive.record("1").digest

    assert "2" == open_job(drive, Opening("V-1", "drive", follows="1", only=("axle-nut",)), BY)
    assert "3" == open_job(drive, Opening("V-1", digest[:12], follows="1", only=("front-nut",)), BY)


def test_other_work_is_not_of_it(drive: Workshop) -> None:
    """What is told of it on this job is refused, with what there is."""
    play(drive, f"{DONE}2031-04-09 10:00 job 2 opened drive on V-1 after job 1 only axle-nut by P-2")
    for line in ("front-nut 100 N·m with W-1", "front-nut loosened: by mistake", "tab-washer fitted washer"):
        with pytest.raises(Refused, match="job 2 has no such"):
            play(drive, f"2031-04-09 10:01 job 2 {line} by P-2")


@pytest.mark.parametrize(
    ("open_one", "asked", "refused"),
    [
        ("only axle-nut", ("axle-nut",), True),
        ("only axle-nut", ("axle-nut", "front-nut"), True),
        ("only axle-nut", ("front-nut",), False),
        ("", ("front-nut",), True),
    ],
)
def test_a_second_open_job_of_the_same_fastener_is_asked_back(
    drive: Workshop, open_one: str, asked: tuple[str, ...], *, refused: bool
) -> None:
    """Half of the work would stand on each; jobs of other fasteners stand beside each other."""
    play(drive, f"{DONE}2031-04-09 10:00 job 2 opened drive on V-1 after job 1 {open_one} by P-2".replace("  ", " "))
    opening = Opening("", "", follows="1", only=asked)
    if refused:
        with pytest.raises(Refused, match="job 2 by drive is open on V-1"):
            open_job(drive, opening, BY)
    else:
        assert "3" == open_job(drive, opening, BY)


def test_the_job_that_is_followed_is_no_second_one(drive: Workshop) -> None:
    """It is open again as soon as something was loosened on it, and that is what is put on a job of its own."""
    play(drive, f"{DONE}{HERE}2031-04-09 09:10 job 1 front-nut loosened: felt loose by P-2")

    assert show_job(drive, "1").state.startswith("open")
    assert "2" == open_job(drive, Opening("", "", follows="1", only=("front-nut",)), BY)


OPENS = "opens it."


def test_a_disturbed_mark_offers_the_job_that_follows(drive: Workshop) -> None:
    """The looks go on first; then one command holds all that was found."""
    play(drive, MOVED)
    view = show_job(drive, "1")
    says = "Photograph it and look before touching, then loosen and inspect on a job that follows"
    first = (
        f"axle nut: the witness mark is disturbed. {says}: `torqueaudit job open --follows 1 --only axle-nut` {OPENS}"
    )

    assert [first] == typed_stops(view)
    assert "look at the mark on the front nut" == view.next[0]
    offered = (
        "open the job that follows, for no more than: axle nut",
        "torqueaudit job open --follows 1 --only axle-nut",
    )
    assert offered == then(view)[-1]
    assert "on a job that follows, opened for this alone." in view.stops[0].says

    play(drive, "2031-04-09 09:05 job 1 front-nut mark disturbed by P-2")
    both = "torqueaudit job open --follows 1 --only front-nut --only axle-nut"
    assert both == then(show_job(drive, "1"))[-1][1]
    assert [True, True] == [both in each for each in typed_stops(show_job(drive, "1"))]


def test_once_it_is_open_it_is_named_and_not_offered_again(drive: Workshop) -> None:
    """Until it is released the mark stops the job that it was found on."""
    play(drive, f"{MOVED}2031-04-09 10:00 job 2 opened drive on V-1 after job 1 only axle-nut by P-2")
    view = show_job(drive, "1")
    says = "Photograph it and look before touching, then loosen and inspect on job 2, which follows."

    assert [f"axle nut: the witness mark is disturbed. {says}"] == typed_stops(view)
    assert [] == [command for command in commands_of(view) if "job open" in command]


def test_on_the_road_nothing_is_offered(drive: Workshop) -> None:
    """Whoever rides it is to be reached first."""
    play(drive, f"{DONE}2031-04-08 09:00 axle-nut mark disturbed by owner")
    view = show_job(drive, "1")

    assert [True] == [each.says.endswith("then loosen and inspect") for each in view.stops]
    assert [] == [command for command in commands_of(view) if "job open" in command]


def test_while_the_work_lasts_a_mark_is_answered_on_its_own_job(drive: Workshop) -> None:
    """A re-check comes after the vehicle left."""
    play(drive, DONE.split("2031-04-02 10:15", maxsplit=1)[0] + "2031-04-02 10:14 axle-nut mark disturbed by P-3")
    view = show_job(drive, "1")

    assert ['torqueaudit fastener loosen 1 axle-nut --why "…"'] == [each for _, each in then(view)]


TURNED = [
    ("front-nut loosened: felt loose", "front nut: loosened", "front-nut"),
    ("axle-nut 104 N·m with W-1", "axle nut: tightened", "axle-nut"),
]


@pytest.mark.parametrize(("line", "says", "key"), TURNED)
def test_what_a_re_check_turned_beyond_its_plan_offers_the_job_that_follows(
    drive: Workshop, line: str, says: str, key: str
) -> None:
    """What it may turn is what its procedure says."""
    play(drive, f"{DONE}{HERE}2031-04-09 09:10 job 1 {line} by P-2")
    command = f"torqueaudit job open --follows 1 --only {key}"
    expected = (
        f"{says} after the vehicle left, and its re-check may turn no more than: clamp bolt. Do it on a job that "
    )
    view = show_job(drive, "1")
    (found,) = (each.finding for each in view.findings if each.finding.rule == "workshop_rules/turned-at-re-check")

    assert f"{expected}follows: `{command}` {OPENS}" == typed(found.sentence, found.see)
    assert (ActName.OPEN, "caution") == (found.answer and found.answer.act, found.weight.value)
    assert command == then(view)[0][1]


@pytest.mark.parametrize("line", ["clamp-bolt-1 30 N·m with W-1", "axle-nut 100 N·m with W-1 clicked without turning"])
def test_what_the_plan_lets_it_turn_and_a_click_alone_are_silent(drive: Workshop, line: str) -> None:
    play(drive, f"{DONE}{HERE}2031-04-09 09:10 job 1 {line} by P-2")

    assert [] == findings(drive, rule="workshop_rules/turned-at-re-check")
    assert [] == [command for command in commands_of(show_job(drive, "1")) if "job open" in command]


def test_what_was_turned_is_settled_once_it_is_signed_and_left_again(drive: Workshop) -> None:
    """Its next re-check counts from there."""
    again = """
    2031-04-09 09:10 job 1 clamp-bolt loosened: thread looked at by P-2
    2031-04-09 09:11 front-nut loosened: felt loose by P-2
    2031-04-09 09:12 tab-washer fitted washer by P-2
    2031-04-09 09:13 front-nut 100 N·m with W-1 by P-2
    2031-04-09 09:14 front-nut mark intact by P-2
    2031-04-09 09:15 clamp-bolt 30 N·m with W-1 by P-2
    2031-04-09 09:16 clamp-bolt mark intact by P-2
    2031-04-09 09:30 released by P-1
    """
    play(drive, DONE, HERE, again)
    assert 1 == len(findings(drive, rule="workshop_rules/turned-at-re-check"))
    play(drive, "2031-04-09 09:40 job 1 handed over at 12101 km by P-1")

    assert [] == findings(drive, rule="workshop_rules/turned-at-re-check")


def test_the_job_that_follows_makes_history_of_its_own_fastener_alone(drive: Workshop) -> None:
    """The nut is the new job's; the bolts, their marks and the re-check of the rest stay the old one's."""
    play(drive, MOVED, NUT_ANEW, LEFT_ANEW)
    before, after = show_job(drive, "1"), show_job(drive, "2")
    held = {each.fastener.position: each.job for each in show_vehicle(drive, "V-1").fasteners}

    assert {"front-nut": "1", "axle-nut": "2", "clamp-bolt-1": "1", "clamp-bolt-2": "1"} == held
    assert {"axle nut": "2"} == {each.name: each.overtaken_by for each in before.fasteners if each.overtaken_by}
    assert ((), ()) == (before.stops, after.stops)
    assert before.recheck
    assert after.recheck
    # The slack was taken again behind the nut, so the next look at it is the new job's as well.
    looks = ("mark on the front nut", "mark on the clamp bolt 1", "mark on the clamp bolt 2")
    torques = ("torque of the clamp bolt 1", "torque of the clamp bolt 2")
    assert {*looks, *torques} == set(before.recheck.looks)
    assert ("mark on the axle nut", "slack") == after.recheck.looks
    assert (RecheckState.NOT_YET_DUE,) * 2 == (before.recheck.standing.state, after.recheck.standing.state)


def test_a_value_taken_meanwhile_takes_no_look_away(drive: Workshop) -> None:
    """Where nothing was turned it is one look more, as when somebody searches for a fault; the re-check stays due."""
    play(
        drive,
        DONE,
        """
        2031-04-05 09:00 job 2 opened final-drive on V-1 by P-2
        2031-04-05 09:01 slack measured 36 mm by P-2
        """,
    )
    recheck = show_job(drive, "1").recheck

    assert recheck
    assert "slack" in recheck.looks


def test_the_re_check_of_the_older_job_is_concluded_without_what_was_done_since(drive: Workshop) -> None:
    """A mark that is history is looked at by nobody."""
    looked = """
    2031-04-09 09:10 job 1 front-nut mark intact by P-2
    2031-04-09 09:11 clamp-bolt mark intact by P-2
    2031-04-09 09:12 clamp-bolt 30 N·m with W-1 clicked without turning by P-2
    2031-04-09 10:10 re-checked at 12100 km by P-2
    """
    play(drive, MOVED, NUT_ANEW, looked)

    assert "re-checked" == show_job(drive, "1").state


def test_a_job_of_the_whole_procedure_overtakes_as_before(drive: Workshop) -> None:
    """Nothing is left of the older one, whatever jobs of some fasteners stood between."""
    whole = DONE.replace("job 1 opened drive on V-1 at 12000 km", "job 3 opened drive on V-1 at 12200 km after job 1")
    whole = whole.replace("2031-04-02", "2031-04-12").replace("12010", "12210")
    play(drive, MOVED, NUT_ANEW, LEFT_ANEW, whole)
    standing = [show_job(drive, number).recheck for number in ("1", "2")]

    assert [RecheckState.OVERTAKEN] * 2 == [each.standing.state for each in standing if each]
    assert ["3"] == [work.number for work in show_vehicle(drive, "V-1").works]


def test_jobs_of_some_fasteners_never_make_the_rest_history(drive: Workshop) -> None:
    """Each fastener was done again alone; what the older job looked at besides stays as it was found."""
    rest = """
    2031-04-09 11:00 job 3 opened drive on V-1 after job 1 only front-nut and clamp-bolt by P-2
    2031-04-09 11:01 tab-washer fitted washer by P-2
    2031-04-09 11:02 front-nut 100 N·m with W-1 by P-2
    2031-04-09 11:03 front-nut mark intact by P-2
    2031-04-09 11:04 clamp-bolt 30 N·m with W-1 by P-2
    2031-04-09 11:05 clamp-bolt mark intact by P-2
    2031-04-09 11:06 released by P-1
    """
    play(drive, MOVED, STEP_IN_IT, NUT_ANEW, rest)
    view = show_job(drive, "1")

    assert ["axle by eye: fault found (a step in it)"] == [each.says[:39] for each in view.stops]
    assert RecheckState.OVERTAKEN == (view.recheck and view.recheck.standing.state)
    assert "1" in {work.number for work in show_vehicle(drive, "V-1").works}


def test_a_fault_that_is_not_of_its_work_is_not_put_right_by_it(drive: Workshop) -> None:
    """Nor is it carried over to it; a slack outside its limits is, for it is taken again behind the nut."""
    play(drive, MOVED, STEP_IN_IT, "2031-04-09 09:03 job 1 slack measured 50 mm by P-2", NUT_ANEW)
    view, follows = show_job(drive, "1"), show_job(drive, "2").follows

    assert ["axle by eye: fault found (a step in it)"] == [each.says[:39] for each in view.stops]
    assert follows
    expected = ["axle nut: its witness mark is disturbed.", "slack: 50 mm; 32 … 42 mm is specified."]
    assert expected == list(follows.carried) == list(follows.put_right)


def test_where_the_nut_was_loosened_first_the_brake_is_proved_once(drive: Workshop) -> None:
    """On the job that follows: the older one waits for a signature under the loosening, and for nothing else."""
    loosened = f"{DONE}{HERE}2031-04-09 09:10 job 1 axle-nut loosened: felt loose by P-2"
    play(drive, loosened)
    assert 2 == len(show_job(drive, "1").stops)
    play(drive, NUT_ANEW)
    view = show_job(drive, "1")

    assert ((), ("a foreman releases it",)) == (view.stops, view.next)
    assert ("axle nut",) == tuple(each.text for each in view.unsigned)
    release(drive, "1", Say("P-1"))
    assert "released" in show_job(drive, "1").state


def test_every_door_says_of_what_it_is(drive: Workshop) -> None:
    """The sheet and the page, with the job it follows."""
    play(drive, MOVED, NUT_ANEW)
    view = show_job(drive, "2")
    sheet = "\n".join(lines_of(view))
    page = record_page(view, show_vehicle(drive, "V-1"))

    assert "job 2 · bike-1 (V-1) · Drive (only the axle nut), edition 1" in sheet
    assert "by P-2, follows job 1" in sheet
    assert "Opened 2031-04-09 by P-2, follows job 1." in page.state_says
    assert "Drive (only the axle nut)" == page.job.procedure.title


@pytest.mark.parametrize(
    ("only", "replaced"),
    [("only axle-nut", []), ("only axle-nut and front-nut", ["2"]), ("", ["1", "2"])],
)
def test_a_label_stays_as_long_as_a_fastener_of_its_job_does(drive: Workshop, only: str, replaced: list[str]) -> None:
    """A job of some fasteners takes no label off but that of one that had no others."""
    first = "only front-nut" if only != "only axle-nut and front-nut" else "only axle-nut"
    card = f"""
    2031-04-09 10:00 job 2 opened drive on V-1 after job 1 {first} by P-2
    2031-04-09 11:00 job 3 opened drive on V-1 after job 1 {only} by P-2
    """
    play(drive, DONE, card.replace("  by", " by"))

    assert replaced == replaced_by(drive, "3")


def test_a_walk_from_the_found_mark_to_the_next_re_check(drive: Workshop) -> None:
    """Found, done on a job of its own, signed and gone: the night calls nobody, and the nut is looked at again."""
    looked = """
    2031-04-09 09:10 job 1 front-nut mark intact by P-2
    2031-04-09 09:11 clamp-bolt mark intact by P-2
    2031-04-09 09:12 clamp-bolt 30 N·m with W-1 clicked without turning by P-2
    2031-04-09 10:10 re-checked at 12100 km by P-2
    """
    play(drive, MOVED, NUT_ANEW, looked, LEFT_ANEW)
    night = night_of(drive, drive.local_day(drive.clock()))
    told = {section.key: [line.says for line in section.lines] for section in night.sections if section.lines}
    view = show_job(drive, "2")

    assert {} == {key: lines for key, lines in told.items() if key not in ("rest", "due")}
    assert view.recheck
    assert ("2031-04-23", "not yet due") == (str(view.recheck.due_on), view.recheck.standing.state.value)


# What is told of each kind of measurement, inside the limits of the invented procedures.
READINGS = {
    "slack": (("slack", "36 mm"),),
    "alignment": (("left", "427 mm"), ("right", "427 mm")),
}
LEAST_OF_W2 = 20  # N·m
SMALL = NewWrench(
    kind="indicating", tag="small", lowest="2 N·m", highest="25 N·m", lever_mm=Decimal(300), due_on=date(2031, 12, 31)
)
EACH = [
    (name, key)
    for name, keys in {
        "final-drive": "sprocket-bolt caliper-carrier-bolt torque-arm-bolt front-sprocket-nut rear-axle-nut "
        "adjuster-lock-left adjuster-lock-right",
        "front-wheel": "front-disc-bolt front-axle pinch-bolt front-caliper-bolt",
        "rear-wheel": "rear-axle-nut",
    }.items()
    for key in keys.split()
]


def do_next(workshop: Workshop, job: str, said: Next) -> None:
    """Do what comes next as it is meant to be done."""
    by = Say("P-2", again=True)
    match said.act:
        case ActName.TIGHTEN:
            tighten_as_asked(workshop, job, said, by)
        case ActName.MARK:
            see_mark(workshop, job, said.key, MarkState.INTACT, "", by)
        case ActName.CHECK:
            check(workshop, job, said.key, CheckMethod.MARK_SEEN, "", by._replace(by="P-3"))
        case ActName.MEASURE:
            readings = READINGS.get(said.key, ()) if said.asks[0].name else ()
            written = {"mm": "36 mm"}.get(said.asks[0].unit, "") if said.key == "slack" else "0.1 mm"
            measure(workshop, job, said.key, Measure("" if readings else written, inputs=readings), by)
        case ActName.FIT:
            fit(workshop, job, said.key, Part("washer"), by)
        case _:
            assert said.act is ActName.STEP
            do_step(workshop, job, said.key, "yes", "", by)


def tighten_as_asked(workshop: Workshop, job: str, said: Next, by: Say) -> None:
    """With the wrench that reaches it, behind the new bolts where they hold once only."""
    fastener = next(each for each in workshop.job(job).procedure.fasteners() if each.key == said.key)
    if said.key in fastener.single_use:
        fit(workshop, job, said.key, Part("bolts"), by)
    aim = fastener.stage_nm(said.stage) if fastener.stages else fastener.specification.target_nm
    wrench = "W-4" if aim is not None and aim < LEAST_OF_W2 else "W-2"
    told = Tighten(Outcome.VALUE_SHOWN, wrench, f"{aim} N·m") if aim else Tighten(Outcome.NO_WRENCH)
    tighten(workshop, job, said.key, told._replace(stage=said.stage, angle="45°" if said.angle else ""), by)


@pytest.mark.parametrize(("name", "key"), EACH)
def test_each_fastener_of_the_demo_can_be_done_alone(workshop: Workshop, clock: Clock, name: str, key: str) -> None:
    """Whoever does what comes next comes to the release, and no rule misses what is not of this job."""
    digest = enter_procedure(workshop, PROCEDURES / f"{name}.toml", Say("P-1"))
    read_against_source(workshop, digest, "", Say("P-3"))
    add_wrench(workshop, SMALL, Say("P-1"))
    vehicle = add_vehicle(workshop, "Kestrel 500, red", "Kestrel 500", 2030, {"frame_number": "KS5010000"}, BY)
    job = open_job(workshop, Opening(vehicle, digest, only=(key,)), BY)
    while (answer := show_job(workshop, job).to_do[0].answer) and answer.act is not ActName.RELEASE:
        do_next(workshop, job, answer)
    clock.set("2031-04-04 12:00")  # the threadlocker of some has cured

    found = [each.finding for each in show_job(workshop, job).findings]
    assert [] == [each.says for each in found if each.weight.value == "stop" or "wrench" not in each.says]
    release(workshop, job, Say("P-1"))
    assert "released" == show_job(workshop, job).state
