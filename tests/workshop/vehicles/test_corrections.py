"""A vehicle put right by an entry: model, year and tag, what lies outside the ledger, and a report that was false."""

import re
from collections.abc import Callable
from typing import Any

import pytest

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.book.sqlite.engine import SQLiteEngine
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.ledger import forget
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.release import release
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.vehicles.corrections import Rejudged, change_vehicle, strike_of_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle, report_loosened
from torqueaudit.workshop.vehicles.visits import arrive

FOREMAN, MECHANIC = Say("P-1"), Say("P-2")
OUTSIDE, PUT_RIGHT = "workshop_rules/outside-validity", "workshop_rules/vehicle-put-right"
MERLIN = "Kestrel 500 manual holds for the Kestrel 500, and this is a Merlin 700."
DONE = """
2031-04-02 10:00 job 1 opened axle on {vehicle} at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
"""
GONE = f"""{DONE}2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
"""
FRAMED = """frames = ["KS5-000100", "KS5-000900"]

[[work]]
step = "walk"
name = "walk around it"
says = "Look at everything."
"""
NOT_KNOWN = "Kestrel 500 manual holds for a range of frame numbers, and this one is not known."


def changed(workshop: Workshop, number: str = "V-1", **told: Any) -> tuple[Rejudged, ...]:
    """The mechanic puts a vehicle right; the jobs that are judged otherwise since."""
    return change_vehicle(workshop, number, VehicleChange(**told), MECHANIC).rejudged


def on_the_road(workshop: Workshop) -> list[str]:
    """What the night says of vehicles on the road with a stop, at the end of that day."""
    sections = {section.key: section for section in night_of(workshop, workshop.today()).sections}
    return [line.says for line in sections["on-the-road"].lines]


def test_a_wrong_model_is_put_right_and_the_open_job_goes_on(workshop: Workshop) -> None:
    """V-3 was entered as a Merlin 700 and is a Kestrel 500: the stop falls, and a note says how it was."""
    play(workshop, DONE.format(vehicle="V-3"))
    with pytest.raises(Refused, match="cannot be released"):
        release(workshop, "1", FOREMAN)

    assert (Rejudged("1", "open", MERLIN, ""),) == changed(workshop, "V-3", model="Kestrel 500")
    entry = workshop.book.head().sequence
    says = f"bike-3: {MERLIN} So it was judged when the job was opened; put right in #{entry}, and the sources hold."

    assert [] == findings(workshop, rule=OUTSIDE)
    assert [says] == findings(workshop, rule=PUT_RIGHT)
    release(workshop, "1", FOREMAN)


def test_a_model_that_turns_out_wrong_stops_the_job_that_was_opened_for_it(workshop: Workshop) -> None:
    """What was done by the wrong source is told to be in doubt, and the release is refused."""
    play(workshop, DONE.format(vehicle="V-1"))

    assert (Rejudged("1", "open", "", MERLIN),) == changed(workshop, model="Merlin 700")
    entry = workshop.book.head().sequence

    says = (
        f"bike-1: {MERLIN} Use a source that holds for this vehicle. This is known since #{entry}; what was tightened "
        "by this source before that is in doubt."
    )
    assert [says] == findings(workshop, rule=OUTSIDE)
    with pytest.raises(Refused, match="cannot be released"):
        release(workshop, "1", FOREMAN)


def test_a_vehicle_on_the_road_whose_model_turns_out_wrong_is_in_the_night(workshop: Workshop) -> None:
    """And no longer where that was a slip: every list says the truth of today."""
    play(workshop, GONE.format(vehicle="V-1"))

    assert [] == on_the_road(workshop)
    changed(workshop, model="Merlin 700")

    assert [f"Reach the owner today. bike-1: {MERLIN}" in says for says in on_the_road(workshop)] == [True]
    changed(workshop, model="Kestrel 500")

    assert [] == on_the_road(workshop)
    assert [] == findings(workshop, rule=OUTSIDE) + findings(workshop, rule=PUT_RIGHT)


def test_a_vehicle_in_the_workshop_whose_model_turns_out_wrong_is_not_on_the_road(workshop: Workshop) -> None:
    """The job itself says so, and nobody is called."""
    play(workshop, DONE.format(vehicle="V-1"))
    changed(workshop, model="Merlin 700")

    assert [] == on_the_road(workshop)


def test_a_job_withdrawn_since_calls_nobody(workshop: Workshop) -> None:
    """Its opening was struck after the vehicle was put right; by another job's hand-over the vehicle is on the road."""
    play(workshop, "2031-04-02 09:00 job 1 opened axle on V-1 at 12000 km by P-2")
    changed(workshop, model="Merlin 700")
    strike(workshop, "1", workshop.record("1").opened.entry, "wrong vehicle", FOREMAN)
    changed(workshop, model="Kestrel 500")
    play(workshop, GONE.format(vehicle="V-1").replace("job 1", "job 2"))
    changed(workshop, model="Merlin 700")

    assert ["2"] == [each.job for each in night_of(workshop, workshop.today()).sections[1].lines]


def test_what_was_judged_at_the_opening_stays_in_its_entry(workshop: Workshop) -> None:
    """Judged then and judged today are two things; a withdrawn job is not spoken of."""
    play(workshop, DONE.format(vehicle="V-3") + "2031-04-02 10:30 line 1 struck: wrong vehicle by P-1\n")
    before = workshop.book.entries("job/1")

    assert () == changed(workshop, "V-3", model="Kestrel 500")
    assert before == workshop.book.entries("job/1")
    assert MERLIN == workshop.record("1").validity


def test_a_job_opened_after_it_was_put_right_knows_no_other_vehicle(workshop: Workshop) -> None:
    """The earlier judgements are of earlier jobs."""
    changed(workshop, "V-3", model="Kestrel 500")
    play(workshop, DONE.format(vehicle="V-3"))

    assert "" == workshop.record("1").validity
    assert [] == findings(workshop, rule=OUTSIDE) + findings(workshop, rule=PUT_RIGHT)


def test_a_concession_for_one_wrong_model_does_not_cover_another(workshop: Workshop) -> None:
    """The foreman permitted a Merlin 700 by these values, and it is an Osprey 900."""
    play(
        workshop,
        DONE.format(vehicle="V-3")
        + "2031-04-02 10:30 conceded outside-validity on vehicle until 2031-05-01: same axle, 20 km by P-1\n",
    )

    assert [] == findings(workshop, rule=OUTSIDE)
    changed(workshop, "V-3", model="Osprey 900")

    assert 1 == len(findings(workshop, rule=OUTSIDE))


def test_the_new_tag_stands_on_every_record_and_in_every_list(workshop: Workshop) -> None:
    """A tag is what people call it by, so no page keeps the old one."""
    play(workshop, DONE.format(vehicle="V-1"))

    assert () == changed(workshop, tag="Kestrel 500, green")
    assert "Kestrel 500, green" == show_job(workshop, "1").vehicle_tag
    assert ["Kestrel 500, green"] == [row.tag for row in queries.vehicles(workshop.book) if row.vehicle == "V-1"]
    assert {"tag": "Kestrel 500, green"} == workshop.book.entries("vehicle/V-1")[-1].said


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"tag": "bike-1"}, "V-1: nothing of this is new, so nothing is recorded"),
        ({"personal": {"plate": "Y-ARD 101"}}, "V-1: nothing of this is new, so nothing is recorded"),
        ({"personal": {"contact": ""}}, "V-1: nothing of this is new, so nothing is recorded"),
        ({"model": " "}, "a vehicle has a tag (what people call it) and a model"),
        ({"tag": "the one with Y-ARD 101"}, "holds a name or number of V-1, and the ledger never forgets"),
        (
            {"tag": "call 01 234 567", "personal": {"contact": "01234567"}},
            "“call 01 234 567” holds a part of the contact",
        ),
        (
            {"personal": {"contact": "bike-1"}},
            "“bike-1” holds a part of the contact, and the ledger never forgets",
        ),
    ],
)
def test_what_cannot_be_of_a_vehicle_is_refused(workshop: Workshop, told: dict[str, Any], says: str) -> None:
    """Nothing is recorded, outside of the ledger either."""
    before = workshop.book.head(), workshop.book.personal_of("vehicle/V-1")
    with pytest.raises(Refused) as caught:
        changed(workshop, **told)

    assert says in str(caught.value)
    assert before == (workshop.book.head(), workshop.book.personal_of("vehicle/V-1"))


@pytest.mark.parametrize("number", ["V-9", "P-1", "V-../1"])
def test_a_vehicle_that_is_not_there_is_refused(workshop: Workshop, number: str) -> None:
    """Changed or struck."""
    for deed in (
        lambda: changed(workshop, number, year=2029),
        lambda: strike_of_vehicle(workshop, number, 1, "wrong", FOREMAN),
    ):
        with pytest.raises(Refused, match="no such vehicle"):
            deed()


@pytest.mark.usefixtures("book_file")
def test_other_vehicles_are_asked_only_for_what_is_told(workshop: Workshop) -> None:
    """Whoever puts a year right, or enters a vehicle without a plate, waits for no list of everybody's plates."""
    assert isinstance(workshop.book.engine, SQLiteEngine)
    asked: list[str] = []
    workshop.book.engine.connection.set_trace_callback(asked.append)
    changed(workshop, year=2031)
    add_vehicle(workshop, "bike-77", "Kestrel 500", None, {}, MECHANIC)
    nothing = plates_in(asked)
    changed(workshop, personal={"plate": "Y-ARD 777"})
    workshop.book.engine.connection.set_trace_callback(None)

    assert ([], ["plate"]) == (nothing, plates_in(asked))


def plates_in(asked: list[str]) -> list[str]:
    """The fields of which every value that is known was read."""
    every = re.compile(r"select subject, value from personal where field = '(\w+)'")
    return [found[1] for text in asked if (found := every.match(text))]


def test_plate_frame_number_and_contact_stay_outside_the_ledger(workshop: Workshop) -> None:
    """The entry says which of them is another one, and an empty one is taken away."""
    changed(workshop, personal={"plate": "", "contact": "01 234 567", "frame_number": "KS5-000500"})

    assert {"personal": ["contact", "frame_number", "plate"]} == workshop.book.entries("vehicle/V-1")[-1].said
    assert {"contact": "01 234 567", "frame_number": "KS5-000500"} == workshop.book.personal_of("vehicle/V-1")


def framed(workshop: Workshop, enter: Callable[..., str], frame: str) -> None:
    """V-4 with a frame number, and job 1 on it by a source that holds for a range of them."""
    enter("framed", FRAMED)
    add_vehicle(workshop, "bike-4", "Kestrel 500", 2030, {"frame_number": frame}, FOREMAN)
    play(workshop, "2031-04-02 10:00 job 1 opened framed on V-4 by P-2")


def test_a_mistyped_frame_number_is_put_right(workshop: Workshop, enter: Callable[..., str]) -> None:
    """The number itself stands in no entry and in no sentence."""
    framed(workshop, enter, "KS5-009500")
    (rejudged,) = changed(workshop, "V-4", personal={"frame_number": "KS5-000500"})

    assert ("1", "") == (rejudged.job, rejudged.now)
    assert rejudged.before.endswith("holds for a range of frame numbers, and this one is outside.")
    assert [] == findings(workshop, rule=OUTSIDE)
    assert not any("000500" in str(entry) for entry in workshop.book.entries("vehicle/V-4"))


def test_a_frame_number_that_was_erased_is_not_held_against_a_job_that_was_inside_with_it(
    workshop: Workshop, enter: Callable[..., str]
) -> None:
    """The owner's data was forgotten, and later the year is put right."""
    framed(workshop, enter, "KS5-000500")
    forget(workshop, "vehicle/V-4")

    assert () == changed(workshop, "V-4", year=2029)
    assert [] == findings(workshop, rule=OUTSIDE)


def test_a_frame_number_that_is_taken_away_is_not_known(workshop: Workshop, enter: Callable[..., str]) -> None:
    """It was another vehicle's: then nothing shows that the source holds."""
    framed(workshop, enter, "KS5-000500")

    assert (Rejudged("1", "open", "", NOT_KNOWN),) == changed(workshop, "V-4", personal={"frame_number": ""})


def test_a_frame_number_nobody_ever_told_is_still_not_known_when_the_model_is_right(
    workshop: Workshop, enter: Callable[..., str]
) -> None:
    """One thing after the other is put right."""
    enter("framed", FRAMED)
    play(workshop, "2031-04-02 10:00 job 1 opened framed on V-3 by P-2")

    assert (Rejudged("1", "open", MERLIN, NOT_KNOWN),) == changed(workshop, "V-3", model="Kestrel 500")


def test_a_report_that_was_false_is_taken_back(workshop: Workshop) -> None:
    """It was another motorcycle: no job, no list and no night speaks of it, and lists written anew are the same."""
    play(workshop, GONE.format(vehicle="V-1"))
    told = report_loosened(workshop, "V-1", "rear-axle-nut", "tyre changed", Say("P-3"))

    assert 1 == len(findings(workshop, rule="workshop_rules/undone-by-report"))
    assert 1 == len(on_the_road(workshop))
    done = strike_of_vehicle(workshop, "V-1", told, "it was V-2", Say("P-3"))

    assert ("V-1", told, "rear axle nut was undone") == done
    assert [] == findings(workshop, rule="workshop_rules/undone-by-report")
    assert [] == on_the_road(workshop)
    assert [] == queries.reported_loose(workshop.book)
    assert [""] == [each.undone for each in show_job(workshop, "1").fasteners]
    asked = "select position, happened_at, job, entry, kind from fastener_events order by entry"
    rows = workshop.book.rows(asked)
    workshop.book.rebuild()

    assert rows == workshop.book.rows(
        "select position, happened_at, job, entry, kind from fastener_events order by entry"
    )
    assert [] == workshop.book.verify()


def test_both_entries_stay_to_be_seen(workshop: Workshop) -> None:
    """A strike says why, and takes nothing out of the ledger."""
    play(workshop, DONE.format(vehicle="V-1"))
    told = report_loosened(workshop, "V-1", "rear-axle-nut", "tyre changed", Say("owner"))
    strike_of_vehicle(workshop, "V-1", told, "it was V-2", Say("owner"))
    entries = workshop.book.entries("vehicle/V-1")

    assert ["entered.1", "loosened.2", "struck.1"] == [entry.kind for entry in entries]
    assert ({"entry": told}, "it was V-2") == (entries[-1].said, entries[-1].told("why"))


def test_one_of_two_reports_still_stands(workshop: Workshop) -> None:
    """The nut was undone after all, by somebody else."""
    play(workshop, DONE.format(vehicle="V-1"))
    first = report_loosened(workshop, "V-1", "rear-axle-nut", "tyre changed", Say("owner"))
    second = report_loosened(workshop, "V-1", "rear-axle-nut", "seen loose", MECHANIC)
    strike_of_vehicle(workshop, "V-1", first, "it was V-2", Say("owner"))
    events = vehicle_queries.later_events(workshop.book, "V-1")

    assert [second] == [event.entry for event in events if not event.job]


def test_an_arrival_that_was_told_of_the_wrong_vehicle_is_taken_back(workshop: Workshop) -> None:
    """V-2 came in, and V-1 is still on the road, at the odometer it left with."""
    play(workshop, GONE.format(vehicle="V-1"))
    arrive(workshop, "V-1", 13_100_000, MECHANIC)
    told = workshop.book.head().sequence

    assert (True, 13_100_000) == (is_here(workshop), newest_metres(workshop))
    with pytest.raises(Refused, match=f"#{told} says that it arrived"):
        strike_of_vehicle(workshop, "V-1", 1, "it was V-2", MECHANIC)

    assert ("V-1", told, "it arrived") == strike_of_vehicle(workshop, "V-1", told, "it was V-2", MECHANIC)
    assert (False, 12_010_000) == (is_here(workshop), newest_metres(workshop))
    workshop.book.rebuild()

    assert (False, 12_010_000) == (is_here(workshop), newest_metres(workshop))
    assert [] == workshop.book.verify()


def is_here(workshop: Workshop) -> bool:
    """Whether V-1 stands in the workshop at the end of the day."""
    return vehicle_queries.presence_at(workshop.book, "V-1", "2031-04-02T23:00:00Z").here


def newest_metres(workshop: Workshop) -> int:
    """What was last read off V-1."""
    newest = vehicle_queries.newest_odometer(workshop.book, "V-1")
    return newest.metres if newest else 0


@pytest.mark.parametrize("by", ["P-1", "P-3"])
def test_a_report_is_taken_back_by_who_said_it_or_by_a_foreman(workshop: Workshop, by: str) -> None:
    """P-3 said it."""
    play(workshop, DONE.format(vehicle="V-1"))
    told = report_loosened(workshop, "V-1", "rear-axle-nut", "tyre changed", Say("P-3"))
    strike_of_vehicle(workshop, "V-1", told, "it was V-2", Say(by))

    assert [] == queries.reported_loose(workshop.book)


@pytest.mark.parametrize("by", ["P-2", "P-4", "owner", "import"])
def test_a_report_is_not_taken_back_by_anybody_else(workshop: Workshop, by: str) -> None:
    """P-3 said it."""
    play(workshop, DONE.format(vehicle="V-1"))
    told = report_loosened(workshop, "V-1", "rear-axle-nut", "tyre changed", Say("P-3"))
    with pytest.raises(Refused, match="only a foreman may do this"):
        strike_of_vehicle(workshop, "V-1", told, "it was V-2", Say(by))


def test_what_is_no_report_is_not_struck_and_those_that_are_are_told(workshop: Workshop) -> None:
    """Its own first entry, another vehicle's report, a strike, one struck already, and none without a reason."""
    play(workshop, DONE.format(vehicle="V-1"))
    first, *_ = (entry.sequence for entry in workshop.book.entries("vehicle/V-1"))
    told = report_loosened(workshop, "V-1", "rear-axle-nut", "tyre changed", MECHANIC)

    none = "It has no arrival and no report"

    def refused(number: str, entry: int, why: str = "wrong") -> str:
        with pytest.raises(Refused) as caught:
            strike_of_vehicle(workshop, number, entry, why, FOREMAN)
        return str(caught.value)

    assert f"entry {first} is nothing to be struck of V-1. #{told} says that rear axle nut was undone" == refused(
        "V-1", first
    )
    assert f"entry {told} is nothing to be struck of V-2. {none}" == refused("V-2", told)
    assert f"entry {told}: say why it is struck" == refused("V-1", told, " ")
    strike_of_vehicle(workshop, "V-1", told, "it was V-2", FOREMAN)

    assert f"entry {told} is struck already" == refused("V-1", told)
    assert f"entry {told + 1} is nothing to be struck of V-1. {none}" == refused("V-1", told + 1)


def test_the_same_strike_sent_again_changes_nothing(workshop: Workshop) -> None:
    """A phone without a signal sends twice; so does a change."""
    play(workshop, DONE.format(vehicle="V-1"))
    told = report_loosened(workshop, "V-1", "rear-axle-nut", "tyre changed", MECHANIC)
    strikes = [strike_of_vehicle(workshop, "V-1", told, "it was V-2", Say("P-2", id="a")) for _ in range(2)]
    changes = [change_vehicle(workshop, "V-1", VehicleChange(year=2035), Say("P-2", id="b")) for _ in range(2)]

    assert strikes[0] == strikes[1]
    assert changes[0] == changes[1]
    assert 1 == len(changes[1].rejudged)
