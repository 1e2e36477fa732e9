"""An entry that cannot be read is told by a verification, named by whatever meets it, and struck like any other."""

from collections.abc import Callable, Iterable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from torqueaudit.ledger.entry import Entry, document_of, hash_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.shown.course import Happening
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.testing import play
from torqueaudit.workshop.door.unread import remarks, strike_unread
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.release import release
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.life.course import UNREAD
from torqueaudit.workshop.life.job_then import show_job_then
from torqueaudit.workshop.life.life import life_of
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.signing.devices import admit, invite, show_devices
from torqueaudit.workshop.signing.programs import let_in, show_programs
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.visits import arrive
from torqueaudit.workshop.wrenches.strikes import strike_of_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench

FOREMAN = Say("P-1")


def written(workshop: Workshop, like: Entry, **other: Any) -> int:
    """One more entry like another of its subject, but for these fields, as a later version may write it; its number."""
    book = workshop.book
    head, own = book.head(), book.entries(like.subject)
    last = book.entry(head.sequence)
    assert last
    entry = like._replace(
        sequence=head.sequence + 1,
        id=f"later-{head.sequence}",
        number=len(own) + 1,
        previous=head.hash,
        words={},
        of=1,
        **{"recorded_at": last.recorded_at, **other},
    )
    text = document_of(entry)
    with book.engine.writing():
        book.engine.insert(entry.sequence, text, hash_of(text))
    book.rebuild()
    return entry.sequence


def without(key: str, said: Mapping[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in said.items() if name != key}


def said(name: str, value: Any) -> Callable[[Entry], dict[str, Any]]:
    return lambda entry: {"said": {**entry.said, name: value}}


def judged(name: str, value: Any) -> Callable[[Entry], dict[str, Any]]:
    return lambda entry: {"judged": {**entry.judged, name: value}}


def as_(**fields: Any) -> Callable[[Entry], dict[str, Any]]:
    return lambda _: fields


SPOILT: dict[str, tuple[Callable[[Entry], dict[str, Any]], str]] = {
    "a later kind": (as_(kind="tightened.9"), "its kind, tightened.9, is not known to this version"),
    "a kind of nobody": (as_(kind="polished.1"), "its kind, polished.1, is not known to this version"),
    "a key missing": (lambda entry: {"said": without("position", entry.said)}, 'it does not say "position"'),
    "judged nothing": (as_(judged={}), 'it does not say "'),
    "no outcome": (said("outcome", "sang"), "is not a valid Outcome"),
    "another type": (said("position", 7), "its position is not what it has to be"),
    "a list": (said("shown", ["9"]), "its shown is not what it has to be"),
    "no number": (judged("applied_nm", "much"), "ConversionSyntax"),
    "not a number": (judged("applied_nm", "NaN"), "its applied nm is not what it has to be"),
    "a day of none": (as_(happened_at="2031-13-45T10:00:00Z"), "month must be in 1..12"),
}


def lived(workshop: Workshop, entry: int, vehicle: str = "V-1") -> tuple[str, str]:
    """What the life of a motorcycle says of an entry, and why it was struck."""
    return _told_in((act for each in life_of(workshop, vehicle).stretches for act in each.course), entry)


def then(workshop: Workshop, entry: int) -> tuple[str, str]:
    """What job 1 as of an entry says of that."""
    return _told_in(show_job_then(workshop, "1", entry).course, entry)


def _told_in(course: Iterable[Happening], entry: int) -> tuple[str, str]:
    (told,) = [each for each in course if entry in each.entries]
    return told.says, told.struck.partition(": ")[2]


@pytest.mark.parametrize("name", SPOILT)
def test_an_entry_of_a_job_that_cannot_be_read_is_named_and_struck(played: Workshop, name: str) -> None:
    """The others of its job are read as ever, and go on; it stops the release until it is struck.

    2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
    2031-04-02 10:05 disc-bolt 22 N·m with W-1 by P-2
    """
    spoilt, why = SPOILT[name]
    before = played.book.verify(), remarks(played), len(played.record("1").of(Tightening))
    like = played.book.entries("job/1")[-1]
    entry = written(played, like, **spoilt(like))
    [told] = remarks(played)

    assert ([], [], before[2]) == before
    assert told.startswith(f"Entry {entry} (job/1) cannot be read: ")
    assert why in told
    assert played.book.verify() == []
    assert len(played.record("1").of(Tightening)) == before[2]
    [stop] = [each.says for each in show_job(played, "1").stops if "cannot be read" in each.says]
    assert stop.startswith(f"entry {entry} (job/1): it cannot be read: ")
    assert stop.endswith("What it says is not known; strike it, and say again what it said.")
    assert (UNREAD, "") == lived(played, entry) == then(played, entry)
    with pytest.raises(Refused):
        release(played, "1", FOREMAN)
    play(played, "2031-04-02 10:20 disc-bolt mark intact by P-2")
    strike(played, "1", entry, "of a later version", Say("P-2"))
    assert (played.book.verify(), remarks(played)) == ([], [])
    assert not [each for each in show_job(played, "1").stops if "cannot be read" in each.says]
    assert (UNREAD, "of a later version") == lived(played, entry)
    played.book.rebuild()
    assert played.book.verify() == []


def test_two_of_them_are_both_named(played: Workshop) -> None:
    """Whatever lies between them.

    2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
    2031-04-02 10:05 disc-bolt 22 N·m with W-1 by P-2
    """
    like = played.book.entries("job/1")[-1]
    first = written(played, like, kind="sung.1")
    play(played, "2031-04-02 10:20 disc-bolt mark intact by P-2")
    second = written(played, like, judged={})

    assert [first, second] == [each.entry for each in played.record("1").unread]


def test_a_wrench_with_such_an_entry_is_out_of_use(workshop: Workshop) -> None:
    """It may say that the wrench was found out."""
    number = add_wrench(workshop, NewWrench("setting", "long", "40 N·m", "200 N·m"), FOREMAN)
    like = workshop.book.entries(f"wrench/{number}")[0]
    entry = written(workshop, like, kind="weighed.1")
    wrench = workshop.wrench(number)

    assert wrench
    assert wrench.withdrawn == f"entry {entry} (wrench/{number}) cannot be read: {wrench.unread[0].why}"
    strike_unread(workshop, entry, "of a later version", FOREMAN)
    wrench = workshop.wrench(number)
    assert wrench
    assert (wrench.withdrawn, wrench.unread) == ("", ())


def test_a_night_tells_of_one_of_a_wrench_that_was_struck(workshop: Workshop) -> None:
    """Whatever it may have been: nobody knows more of it than that it was an entry."""
    number = add_wrench(workshop, NewWrench("setting", "long", "40 N·m", "200 N·m"), FOREMAN)
    like = workshop.book.entries(f"wrench/{number}")[0]
    entry, later = (written(workshop, like, kind=kind) for kind in ("weighed.1", "polished.1"))
    strike_unread(workshop, entry, "of a later version", FOREMAN)
    done = strike_of_wrench(workshop, number, later, "of another", FOREMAN)
    night = night_of(workshop, workshop.today())
    lines = [line.says for section in night.sections if section.key == "rest" for line in section.lines]
    told = [says for says in lines if "was struck" in says]

    assert (later, "entry", "") == (done.entry, done.what, done.withdrawn)
    assert [
        f"Wrench {number} (long): its entry #{each} was struck ({why}), so what it said no longer counts."
        for each, why in ((entry, "of a later version"), (later, "of another"))
    ] == told


@pytest.mark.parametrize("spoilt", [{"kind": "judged_in_full.9"}, {"said": {}}, {"said": {"day": 7}}])
@pytest.mark.parametrize("before", [True, False])
def test_a_night_goes_by_the_newest_before_it_that_can_be_read(
    workshop: Workshop, spoilt: dict[str, Any], *, before: bool
) -> None:
    """Where there is none it judges everything; one that cannot be read is told, and struck though it be the first."""
    day = workshop.today()
    yesterday, nights = day - timedelta(days=1), f"night/{workshop.book.site}"
    if before:
        keep_in_full(workshop, night_of(workshop, yesterday), Say("night"))
    like = workshop.book.entries(nights if before else "site/YARD")[0]._replace(subject=nights)
    entry = written(workshop, like, **{"kind": "judged_in_full.1", **spoilt})
    [told] = remarks(workshop)
    night = night_of(workshop, day)

    assert told.startswith(f"Entry {entry} ({nights}) cannot be read: ")
    assert (True, yesterday if before else day) == (night.sound, night.judged_in_full)
    strike_unread(workshop, entry, "of a later version", FOREMAN)
    assert night.judged_in_full == night_of(workshop, day).judged_in_full
    assert ([], []) == (workshop.book.verify(), remarks(workshop))


def test_a_vehicle_with_such_an_entry_stops_its_jobs(played: Workshop) -> None:
    """It may say that a fastener was undone elsewhere.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    """
    arrive(played, "V-2", 9_000_000, FOREMAN)
    like = played.book.entries("vehicle/V-2")[-1]
    entry = written(played, played.book.entries("vehicle/V-1")[-1], kind="loosened.2", said={"odometer_m": 3})
    other = written(played, like, said={"odometer_m": "far"})

    assert f"Entry {other} (vehicle/V-2) cannot be read: " in "".join(remarks(played))
    assert [True] == [f"entry {entry} (vehicle/V-1)" in each.says for each in show_job(played, "1").stops[:1]]
    assert (UNREAD, "") == lived(played, entry) == lived(played, other, "V-2")
    change_vehicle(played, "V-1", VehicleChange(tag="blue"), FOREMAN)
    for number in (entry, other):
        strike_unread(played, number, "typed by nobody", FOREMAN)
    assert (UNREAD, "typed by nobody") == lived(played, entry) == lived(played, other, "V-2")
    assert (played.book.verify(), remarks(played)) == ([], [])
    assert not [each for each in show_job(played, "1").stops if "cannot be read" in each.says]


@pytest.mark.parametrize("spoilt", [{"roles": 7}, {"supervisor": 5}, {"roles": ["foreman", 7]}])
def test_somebody_with_such_an_entry_records_nothing_until_it_is_struck(
    workshop: Workshop, spoilt: dict[str, Any]
) -> None:
    """It may take a role away. The foreman of such an entry can strike it."""
    like = workshop.book.entries("person/P-1")[0]
    entry = written(workshop, like, said=spoilt)

    with pytest.raises(Refused, match=rf"P-1: entry {entry} \(person/P-1\) cannot be read: .*; strike it"):
        add_person(workshop, "Ida Invented", ("mechanic",), "", FOREMAN)
    strike_unread(workshop, entry, "of a later version", FOREMAN)
    add_person(workshop, "Ida Invented", ("mechanic",), "", FOREMAN)
    assert (workshop.book.verify(), remarks(workshop)) == ([], [])


@pytest.mark.parametrize("noun", ["device", "program"])
def test_what_was_let_in_is_listed_beside_such_an_entry(workshop: Workshop, noun: str) -> None:
    """The entry is told and struck; one of which nothing at all is known hides no other from list and night."""
    if noun == "device":
        number = admit(workshop, invite(workshop, FOREMAN, "tablet at lift 2").code).device
    else:
        number = let_in(workshop, FOREMAN, "accounts", ProgramRole.READS, workshop.today()).program
    like = workshop.book.entries(f"{noun}/{number}")[0]
    entry = written(workshop, like, kind=f"{noun}_renamed.1")

    [told] = remarks(workshop)
    assert told.startswith(f"Entry {entry} ({noun}/{number}) cannot be read: its kind, {noun}_renamed.1, is not known")
    strike_unread(workshop, entry, "of a later version", FOREMAN)
    assert remarks(workshop) == []
    written(workshop, like._replace(subject=f"{noun}/{number[0]}-2"), kind=f"{noun}_admitted.9")
    listed = show_devices(workshop) if noun == "device" else [each.program for each in show_programs(workshop)]
    assert [number] == [each.number for each in listed]
    assert night_of(workshop, workshop.today()).sections


def test_a_choice_of_a_later_version_is_named_and_the_others_hold(workshop: Workshop) -> None:
    """What is chosen after it, too."""
    settle(workshop, {"late_minutes": 90}, FOREMAN)
    like = next(each for each in workshop.book.entries("site/YARD") if each.what == "settled")
    entry = written(workshop, like, said={"strictness": 2})
    settle(workshop, {"untouched_days": 9}, FOREMAN)

    assert (90, 9) == (workshop.settings.late_minutes, workshop.settings.untouched_days)
    [told] = remarks(workshop)
    assert told.startswith(f'Entry {entry} (site/YARD) cannot be read: "strictness: no setting that is known')
    strike_unread(workshop, entry, "of a later version", FOREMAN)
    assert (workshop.book.verify(), remarks(workshop)) == ([], [])


def test_a_number_that_was_chosen_beyond_its_bounds_breaks_nothing(played: Workshop) -> None:
    """Earlier versions took any: the nearest one stands in, and it is told.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    """
    like = next(each for each in played.book.entries("site/YARD") if each.what == "settled")
    written(played, like, said={"untouched_days": 999_999_999, "late_minutes": 10**12, "guard_factor": "7"})

    assert (3650, 43_200) == (played.settings.untouched_days, played.settings.late_minutes)
    assert played.settings.guard_factor == 3
    assert show_job(played, "1").state == "open"
    told = remarks(played)
    assert len(told) == 3
    assert told[1].startswith("The settings: untouched days was chosen as 999999999, and 3650 stands in: a job counts")
    settle(played, {"untouched_days": 7, "late_minutes": 60, "guard_factor": "1"}, FOREMAN)
    assert remarks(played) == []


def test_the_opening_of_a_job_that_cannot_be_read_is_named(workshop: Workshop) -> None:
    """Nothing is known of the job; everything else goes on."""
    like = workshop.book.entries("wrench/W-1")[0]
    entry = workshop.book.head().sequence + 1
    text = document_of(
        like._replace(
            sequence=entry,
            subject="job/1",
            number=1,
            kind="opened.9",
            id="x",
            judged={},
            previous=workshop.book.head().hash,
        )
    )
    with workshop.book.engine.writing():
        workshop.book.engine.insert(entry, text, hash_of(text))

    with pytest.raises(Refused, match=rf"entry {entry} \(job/1\) cannot be read: .*; nothing else is known"):
        show_job(workshop, "1")
    assert [f"Entry {entry} (job/1) cannot be read"] == [each.partition(": ")[0] for each in remarks(workshop)]
    workshop.book.rebuild()
    assert workshop.book.verify() == []


def test_what_can_be_read_is_struck_where_it_stands(workshop: Workshop) -> None:
    """A foreman alone strikes what cannot be, with a reason, and once."""
    like = workshop.book.entries("vehicle/V-1")[0]
    with pytest.raises(Refused, match="can be read, or is struck already"):
        strike_unread(workshop, like.sequence, "why not", FOREMAN)
    entry = written(workshop, like, kind="painted.1")
    with pytest.raises(Refused, match="only a foreman may do this"):
        strike_unread(workshop, entry, "why not", Say("P-2"))
    with pytest.raises(Refused, match="say why it is struck"):
        strike_unread(workshop, entry, " ", FOREMAN)
    with pytest.raises(Refused, match="there is no such entry"):
        strike_unread(workshop, 10**6, "why not", FOREMAN)
    strike_unread(workshop, entry, "of a later version", FOREMAN)
    with pytest.raises(Refused, match="can be read, or is struck already"):
        strike_unread(workshop, entry, "once more", FOREMAN)


def test_no_entry_that_this_program_writes_is_unread(workshop: Workshop) -> None:
    """The clock stands in 2031, and nothing was told of it."""
    assert workshop.clock() >= datetime(2031, 1, 1, tzinfo=UTC)
    assert remarks(workshop) == []
