"""The log of a wrench: each row is entered once, as what the import says, and answers for nothing by itself."""

import json
from collections.abc import Callable
from datetime import date

import pytest

from torqueaudit.ledger.entry import Entry
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.job.facts import CheckMethod, MarkState
from torqueaudit.model.log.mapping import LogMapping, read_mapping
from torqueaudit.model.shown.owner import Safety
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.confirming import Said, confirm_logged
from torqueaudit.workshop.jobs.fasteners import see_mark
from torqueaudit.workshop.jobs.logs import Becomes, LogLook, enter_logged, look_at_log
from torqueaudit.workshop.jobs.release import StopsStand, release
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.jobs.undo import undo
from torqueaudit.workshop.judged.job_view import view_of
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.night.today import today_of
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.register.people import add_person

MAPPING = """
format = 1
moment = { column = "Time", zone = "UTC" }
torque = { column = "Torque" }
unit = { column = "Unit" }
wrench = { column = "Wrench" }
job = { column = "Job" }
fastener = { column = "Key" }
angle = { column = "Angle" }
stage = { column = "Stage" }
number = { column = "No" }
"""
HEAD = "No,Time,Wrench,Job,Key,Stage,Torque,Unit,Angle"
AXLE = "1,2031-04-02 10:05:30,W-2,1,rear-axle-nut,,108.4,N·m,"
AS_JSON = json.dumps(dict.fromkeys(HEAD.split(","), 1))
OPENED = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2"
BY = Say("P-2", came=Came("terminal", "PIN"))
NOT_CONFIRMED = "read from a log, not confirmed. Whoever tightened it confirms it, or strikes it."


@pytest.fixture
def mapping(workshop: Workshop) -> LogMapping:
    """What the columns of HEAD mean."""
    return read_mapping(MAPPING, workshop.plugins.units)


@pytest.fixture
def read(workshop: Workshop, mapping: LogMapping, clock: Clock) -> Callable[..., LogLook]:
    """Have rows below HEAD read as P-2, or as somebody else; the evening has come."""

    def entered(*rows: str, by: Say = BY, name: str = "log.csv") -> LogLook:
        clock.set("2031-04-02 17:00")
        look = look_at_log(workshop, name, "\n".join((HEAD, *rows)).encode(), mapping, by)
        return enter_logged(workshop, look, by)

    return entered


@pytest.fixture
def job(workshop: Workshop) -> str:
    """A job with one nut to be tightened."""
    return play(workshop, OPENED)


def logged(workshop: Workshop) -> list[Entry]:
    """The rows in the book."""
    return [entry for entry, _ in workshop.book.ledger() if entry.kind == "logged.1"]


def becomes(look: LogLook) -> list[Becomes]:
    """What comes of each row."""
    return [each.becomes for each in look.rows]


@pytest.mark.usefixtures("job")
def test_a_row_is_said_by_the_import_and_tells_who_had_it_read_from_where(
    workshop: Workshop, read: Callable[..., LogLook]
) -> None:
    """It has its own moment, and names the file by its digest and the line in it."""
    look = read(AXLE)
    (entry,) = logged(workshop)

    assert ("job/1", "import", "2031-04-02T10:05:30Z") == (entry.subject, entry.who, entry.happened_at)
    told = {"position": "rear-axle-nut", "stage": 1, "shown": "108.4 N·m", "wrench": "W-2", "number": "1"}
    assert told == entry.said
    whence = {"run_by": "P-2", "file": look.file, "line": 2}
    assert {**whence, "role": "import", "door": "import", "proof": "PIN"} == entry.judged


@pytest.mark.usefixtures("job")
def test_today_tells_of_rows_until_they_are_confirmed(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """While the motorcycle is here nobody else would miss them before days have gone by."""
    before = waiting_rows(workshop)
    read(AXLE)
    says = "A log tells of passes that nobody has confirmed: rear axle nut."
    told = waiting_rows(workshop)
    confirm_logged(workshop, "1", "rear-axle-nut", BY)

    assert ([], [f"{says} Whoever tightened it confirms each, or strikes it."]) == (before, told)
    assert [] == waiting_rows(workshop)


def waiting_rows(workshop: Workshop) -> list[str]:
    (section,) = (each for each in today_of(workshop).sections if each.key == "to-confirm")
    return [line.in_words for line in section.lines]


@pytest.mark.usefixtures("job")
def test_a_row_tightens_nothing_before_somebody_confirms_it(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """The stop that it is not tightened gives way to one that sends nobody to tighten over what is tight."""
    assert ["rear axle nut: not tightened. Tighten it to 108 N·m."] == findings(workshop, weight="stop")
    read(AXLE)
    view = view_of(workshop, "1")

    assert [f"rear axle nut: {NOT_CONFIRMED}"] == findings(workshop, weight="stop")
    assert "not tightened" == view.fasteners[0].state
    assert [108] == [int(float(row.shown.split()[0])) for row in view.fasteners[0].logged]
    assert ["confirm what a log says of rear axle nut"] == [each.says for each in view.to_do]
    with pytest.raises(Refused, match="not tightened at that time"):
        see_mark(workshop, "1", "rear-axle-nut", MarkState.INTACT, "", BY)
    with pytest.raises(StopsStand):
        release(workshop, "1", Say("P-1"))


@pytest.mark.usefixtures("job")
def test_whoever_confirms_a_row_is_who_tightened(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """At the row's moment, judged as any pass; nobody who confirmed it or helped looks at it as the second person."""
    read(AXLE, by=Say("P-3"))
    confirm_logged(workshop, "1", "rear-axle-nut", BY, Said(helpers=("P-4",)))
    done = workshop.record("1").current("rear-axle-nut").tightening
    see_mark(workshop, "1", "rear-axle-nut", MarkState.INTACT, "", BY)

    assert done
    assert ("P-2", "2031-04-02 10:05:30", "108.4 N·m") == (
        done.noted.by,
        f"{done.noted.happened_at:%Y-%m-%d %H:%M:%S}",
        done.shown,
    )
    assert logged(workshop)[0].sequence == done.log
    assert not workshop.record("1").to_confirm
    with pytest.raises(Refused, match="P-2 had a hand in it"):
        check(workshop, "1", "rear-axle-nut", CheckMethod.MARK_SEEN, "", BY)
    check(workshop, "1", "rear-axle-nut", CheckMethod.MARK_SEEN, "", Say("P-3"))
    assert [] == findings(workshop, weight="stop")


@pytest.mark.usefixtures("job")
def test_the_same_row_is_entered_once_whoever_reads_it_and_from_whichever_file(
    workshop: Workshop, read: Callable[..., LogLook]
) -> None:
    """Also where it stands on another line, with an idle zero; a row twice in one file is one row."""
    read(AXLE)
    again = read("", AXLE.replace("108.4", "108.40"), AXLE, by=Say("P-1"), name="copy.txt")

    assert [Becomes.BEFORE, Becomes.BEFORE] == becomes(again)
    assert ["as #", "the same as line 3"] == [again.rows[0].says[:4], again.rows[1].says]
    assert 1 == len(logged(workshop))


@pytest.mark.usefixtures("job")
def test_a_row_that_was_confirmed_or_struck_does_not_come_back(
    workshop: Workshop, read: Callable[..., LogLook]
) -> None:
    """Read again after either, it adds nothing, and says why."""
    read(AXLE)
    confirm_logged(workshop, "1", "rear-axle-nut", BY)
    assert [Becomes.BEFORE] == becomes(read(AXLE))
    other = AXLE.replace("10:05:30", "10:20:00")
    read(other)
    strike(workshop, "1", logged(workshop)[-1].sequence, "the wrench was tried on it", BY)
    struck = read(other).rows[0]

    assert "struck by P-2: the wrench was tried on it" in struck.says
    assert not workshop.record("1").to_confirm


@pytest.mark.usefixtures("job")
def test_a_confirmation_that_is_taken_back_leaves_the_row_to_be_confirmed(
    workshop: Workshop, read: Callable[..., LogLook]
) -> None:
    """By undo and by strike; a mechanic's own undo is not kept back by rows that a log told since."""
    read(AXLE)
    confirm_logged(workshop, "1", "rear-axle-nut", BY)
    read(AXLE.replace("10:05:30", "10:20:00"))
    undo(workshop, "1", "", BY)

    assert 2 == len(workshop.record("1").to_confirm)
    assert [f"rear axle nut: {NOT_CONFIRMED}"] == findings(workshop, weight="stop")


@pytest.mark.usefixtures("job")
def test_a_row_of_a_job_that_was_withdrawn_since_is_known_again(
    workshop: Workshop, read: Callable[..., LogLook]
) -> None:
    """A wrench that writes one log for ever tells it each time; a new row of that job is left out."""
    read(AXLE)
    strike(workshop, "1", workshop.record("1").opened.entry, "wrong vehicle", Say("P-1"))
    again = read(AXLE, AXLE.replace("10:05:30", "10:06:00"))

    assert [Becomes.BEFORE, Becomes.LEFT] == becomes(again)
    assert "job 1 was withdrawn (wrong vehicle)" in again.rows[1].says


@pytest.mark.usefixtures("job")
def test_a_foreman_takes_a_row_back_as_any_last_act(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """A mechanic does not: it was told by nobody who works here."""
    read(AXLE)
    with pytest.raises(Refused, match="P-2 is mechanic; only a foreman may do this"):
        undo(workshop, "1", "", BY)
    undo(workshop, "1", "", Say("P-1"))

    assert not workshop.record("1").to_confirm
    assert "struck by P-1: taken back at once" in read(AXLE).rows[0].says


@pytest.mark.usefixtures("job")
def test_what_a_mechanic_told_by_hand_is_not_entered_again(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """The same torque with the same wrench within minutes; another torque is another pass, which is asked for."""
    play(workshop, "2031-04-02 10:08 job 1 rear-axle-nut 108.4 N·m with W-2 by P-3")
    look = read(AXLE, AXLE.replace("108.4", "109"))

    assert [Becomes.TOLD, Becomes.ENTERED] == becomes(look)
    assert look.rows[0].says.startswith("rear axle nut: P-3 told this as #")
    assert [f"rear axle nut: {NOT_CONFIRMED}"] == [each for each in findings(workshop, weight="stop") if "log" in each]


@pytest.mark.usefixtures("job")
def test_what_was_told_by_hand_since_is_asked_back_when_a_row_is_confirmed(
    workshop: Workshop, read: Callable[..., LogLook]
) -> None:
    """It may be one pass, told twice; with another one of the log it is not, however alike they are."""
    read(AXLE)
    play(workshop, "2031-04-02 17:01 clock\n2031-04-02 10:08 job 1 rear-axle-nut 108.4 N·m with W-2 by P-3")
    with pytest.raises(Refused, match="P-3 told the same at 10:08"):
        confirm_logged(workshop, "1", "rear-axle-nut", BY)
    confirm_logged(workshop, "1", "rear-axle-nut", BY._replace(again=True))
    assert not workshop.record("1").to_confirm


@pytest.mark.usefixtures("job")
def test_two_rows_of_a_log_are_two_passes_however_alike(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """One after the other, and nobody is asked whether they are the same: the wrench told them apart."""
    look = read(AXLE, AXLE.replace("10:05:30", "10:05:50"))
    for entry in logged(workshop):
        confirm_logged(workshop, "1", "rear-axle-nut", BY, Said(rows=(entry.sequence,)))

    assert [Becomes.ENTERED, Becomes.ENTERED] == becomes(look)
    assert 2 == len(workshop.record("1").passes("rear-axle-nut"))


@pytest.mark.usefixtures("job")
def test_only_the_rows_that_were_shown_are_confirmed(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """A page that was opened before another row came confirms what stood on it."""
    read(AXLE)
    shown = (logged(workshop)[0].sequence,)
    read(AXLE.replace("10:05:30", "10:20:00").replace("108.4", "131"))
    confirm_logged(workshop, "1", "rear-axle-nut", BY, Said(rows=shown))

    assert ["131 N·m"] == [row.shown for row in workshop.record("1").to_confirm]
    with pytest.raises(Refused, match="not all that was shown waits"):
        confirm_logged(workshop, "1", "rear-axle-nut", BY, Said(rows=(*shown, logged(workshop)[1].sequence)))


def test_a_group_is_confirmed_in_one_act(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """Each bolt at its own moment; each pass of the wrench counts."""
    play(workshop, "2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2")
    rows = [
        AXLE.replace("rear-axle-nut", f"sprocket-bolt-{n}").replace("10:05:30", f"10:05:0{n}").replace("108.4", f"4{n}")
        for n in range(1, 6)
    ]
    read(*rows)
    entries = confirm_logged(workshop, "1", "sprocket-bolt", BY)
    done = workshop.record("1")

    assert ["41 N·m", "42 N·m", "43 N·m", "44 N·m", "45 N·m"] == [each.said["shown"] for each in entries]
    assert 1 == len({each.act for each in entries})
    assert [0, 1, 2, 3, 4] == [each.judged["cycles"] for each in entries]
    assert all(done.current(f"sprocket-bolt-{n}").tightening for n in range(1, 6))


@pytest.mark.usefixtures("job")
def test_the_same_confirmation_sent_again_changes_nothing(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """As a phone does that lost the answer."""
    read(AXLE)
    once = confirm_logged(workshop, "1", "rear-axle-nut", BY._replace(id="tap"))

    assert once == confirm_logged(workshop, "1", "rear-axle-nut", BY._replace(id="tap"))


@pytest.mark.usefixtures("job")
def test_nobody_confirms_what_happened_before_they_worked_here(
    workshop: Workshop, read: Callable[..., LogLook]
) -> None:
    """Nor a trainee, whose work a mechanic answers for."""
    read(AXLE)
    new = add_person(workshop, "Merle Ohm", ("mechanic",), "", Say("P-1"), date(2031, 4, 3))
    workshop.clock.set("2031-04-03 08:00")  # type: ignore[attr-defined]  # it is one that is set
    with pytest.raises(Refused, match=f"{new} (.*), and this lies before it"):
        confirm_logged(workshop, "1", "rear-axle-nut", Say(new))
    with pytest.raises(Refused, match="P-4 is trainee; only a mechanic or foreman may do this"):
        confirm_logged(workshop, "1", "rear-axle-nut", Say("P-4"))


LEFT_OUT = {
    "no such job": (AXLE.replace(",1,rear", ",77,rear"), "job 77: no such job; look at the list of jobs"),
    "no such fastener": (AXLE.replace("rear-axle-nut", "rear-axle-nat"), 'did you mean "rear-axle-nut"?'),
    "no such wrench": (AXLE.replace("W-2", "W-22"), "W-22: no such wrench; look at the list of wrenches"),
    "a wrench that clicks": (AXLE.replace("W-2", "W-1"), "wrench W-1 "),
    "before the job": (AXLE.replace("10:05:30", "09:05:30"), "job 1 was opened on 2031-04-02 at 10:00"),
    "ahead of the clock": (AXLE.replace("04-02", "04-03"), "lies ahead of this clock"),
    "a year that is none": (AXLE.replace("2031", "1931"), "a year lies between 2000 and 2200"),
    "no torque": (AXLE.replace("108.4", ""), "Torque is empty"),
    "no number": (AXLE.replace("108.4", "108.4 Nm"), 'Torque "108.4 Nm" is no number with "." before its decimals'),
    "thousands": (AXLE.replace("108.4", '"1,084"'), 'is no number with "." before its decimals'),
    "zero": (AXLE.replace("108.4", "0"), "Torque is 0, and a torque is above zero"),
    "no unit": (AXLE.replace("N·m", "furlongs"), '"furlongs" is not a torque unit known here'),
    "a force": (AXLE.replace("N·m", "kg"), "so it is no torque"),
    "no moment": (AXLE.replace("2031-04-02 10:05:30", "yesterday"), 'Time "yesterday" is no moment written as ISO'),
    "a day alone": (AXLE.replace("2031-04-02 10:05:30", "2031-04-02"), "is no moment written as ISO 8601"),
    "no such stage": (AXLE.replace(",,108", ",3,108"), "rear axle nut: has no stage 3; it has 1"),
    "a stage in words": (AXLE.replace(",,108", ",last,108"), 'Stage "last" is no number of a stage'),
    "a name": (f"Wilma Nirgends{AXLE[1:]}", 'No "Wilma Nirgends" is no number of a row'),
    "a sign that nobody sees": (AXLE.replace("rear-", "rear\u200b-"), "which nobody sees"),
    "too many cells": (f"{AXLE},,9", "has more cells than the 9 columns that are named"),
}


@pytest.mark.usefixtures("job")
@pytest.mark.parametrize("what", LEFT_OUT)
def test_a_row_that_cannot_be_entered_is_left_out_with_why_and_the_others_are_entered(
    workshop: Workshop, read: Callable[..., LogLook], what: str
) -> None:
    """Each with its line; nothing of it is in the book."""
    bad, why = LEFT_OUT[what]
    look = read(bad, AXLE)

    assert [Becomes.LEFT, Becomes.ENTERED] == becomes(look)
    assert (2, True) == (look.rows[0].row.line, why in look.rows[0].says), look.rows[0].says
    assert 1 == len(logged(workshop))


def test_what_is_entered_is_shown_before_with_its_adapter_and_its_angle(workshop: Workshop, clock: Clock) -> None:
    """In the words in which the job shows it, until it is confirmed."""
    clock.set("2031-04-02 17:00")
    play(workshop, "2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2")
    meaning = read_mapping(f'{MAPPING}adapter = {{ always = "50@0" }}', workshop.plugins.units)
    row = "1,2031-04-02 10:05:30,W-2,1,caliper-bolt,,30,N·m,45"
    look = look_at_log(workshop, "log.csv", f"{HEAD}\n{row}".encode(), meaning, BY)
    enter_logged(workshop, look, BY)
    (shown,) = (row.shown for each in view_of(workshop, "1").fasteners for row in each.logged)

    assert "30 N·m, adapter 50 mm at 0°, then 45°" == shown
    assert f": {shown} with W-2 at 2031-04-02 10:05:30" in look.rows[0].says


def test_a_group_without_the_number_of_its_bolt_is_left_out(workshop: Workshop, read: Callable[..., LogLook]) -> None:
    """Nobody knows which of them it was."""
    play(workshop, "2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2")
    (row,) = read(AXLE.replace("rear-axle-nut", "sprocket-bolt")).rows

    assert (
        "sprocket-bolt is a group; the log has to say which of it, from sprocket-bolt-1 to sprocket-bolt-5" == row.says
    )


@pytest.mark.usefixtures("job")
@pytest.mark.usefixtures("job")
@pytest.mark.parametrize(("name", "row"), [("log.csv", AXLE), ("log.jsonl", AS_JSON)])
def test_a_log_of_more_rows_than_any_is_refused(read: Callable[..., LogLook], name: str, row: str) -> None:
    """It is read no further than shows that it is too long."""
    with pytest.raises(Refused, match=f"{name} has more than 10000 rows; split it into several files"):
        read(*[row] * 10_001, name=name)


def test_nobody_is_shown_a_log_who_may_read_none(read: Callable[..., LogLook]) -> None:
    """It is asked before anything of it is read."""
    with pytest.raises(Refused, match="P-4 is trainee; only a mechanic or foreman may do this"):
        read("nothing", by=Say("P-4"))


def test_a_row_of_a_vehicle_that_left_says_that_a_stop_will_stand_on_the_road(
    workshop: Workshop, read: Callable[..., LogLook]
) -> None:
    """And it does: what a log says of a nut that somebody tightened otherwise is answered by somebody."""
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
        2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
        2031-04-02 10:06 rear-axle-nut mark intact by P-2
        2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
        2031-04-02 11:15 released by P-1
        2031-04-02 11:20 handed over at 12010 km by P-2
        """,
    )
    (row,) = read(AXLE).rows

    assert "THE VEHICLE HAS LEFT: a stop stands until it is confirmed" in row.says
    assert [f"rear axle nut: {NOT_CONFIRMED}"] == findings(workshop, weight="stop")
    assert Safety.DO_NOT_RIDE is owner_view(workshop, "1").safety
    workshop.clock.set("2031-04-03 08:00")  # type: ignore[attr-defined]  # it is one that is set
    told = [line.says for section in night_of(workshop).sections for line in section.lines]
    assert any(NOT_CONFIRMED in each for each in told), told
