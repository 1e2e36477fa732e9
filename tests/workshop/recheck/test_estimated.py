"""A re-check of which nobody has read the distance: the vehicle's own history makes it due, and never missed."""

from datetime import date

import pytest

from tests.workshop.vehicles.test_instruments import NUT, Enter, standing
from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Postponement
from torqueaudit.model.shown.owner import Safety
from torqueaudit.model.shown.recheck import stands_words
from torqueaudit.model.vehicle.exchange import Replaced
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.reports.json.job import job_json
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.arranging import postpone_recheck
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.recheck.road import report_ride
from torqueaudit.workshop.recheck.stages import stages_of
from torqueaudit.workshop.vehicles.exchange import exchange_instrument
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.vehicles.visits import arrive

# Invented, as the motorcycle is.
PLAN = """
[recheck]
distance = "100 km"
hours = 5
days = 60
grace_days = 7
marks = "all"
"""
# 1000 km in the 100 days before it left, so 10 km a day: by that it has run 100 km on 12 April.
WORK = """
2031-04-02 10:00 job 1 opened nut on V-4 at {at} by P-2
2031-04-02 10:05 nut 108 N·m with W-1 by P-2
2031-04-02 10:06 nut mark intact by P-2
2031-04-02 10:15 released by P-1
2031-04-02 11:00 handed over at {at} by P-1
"""
FOREMAN = Say("P-1")


def came_and_left(workshop: Workshop, enter: Enter, clock: Clock, instrument: Instrument, before: str, at: str) -> None:
    """V-4 was read on 23 December, and left with job 1 a hundred days later."""
    clock.set("2030-12-23 11:00")
    enter("nut", NUT + PLAN)
    add_vehicle(workshop, "bike-4", "Kestrel 500", 2030, {}, FOREMAN, instrument)
    play(workshop, f"2030-12-23 11:00 V-4 arrived at {before} by P-2")
    play(workshop, WORK.format(at=at))


@pytest.fixture
def left(workshop: Workshop, enter: Enter, clock: Clock) -> Workshop:
    came_and_left(workshop, enter, clock, Instrument.KM, "11000 km", "12000 km")
    return workshop


def seen(workshop: Workshop, clock: Clock, *days: str) -> list[str]:
    """The state on each of some days."""
    told = []
    for day in days:
        clock.set(f"{day} 12:00")
        told.append(standing(workshop)[0])
    return told


def test_an_estimate_makes_it_due_and_never_missed(left: Workshop, clock: Clock) -> None:
    """Ten kilometres a day; the plan has no grace of distance, and its days are far ahead."""
    assert ["not yet due", "due", "due", "due"] == seen(
        left, clock, "2031-04-11", "2031-04-12", "2031-05-12", "2031-06-01"
    )


def test_days_are_hidden_by_nothing(left: Workshop, clock: Clock) -> None:
    """Sixty days, and seven of grace."""
    assert ["due", "missed"] == seen(left, clock, "2031-06-08", "2031-06-09")
    assert standing(left)[1].endswith("– 8 days late")


def test_every_door_calls_it_an_estimate(left: Workshop, clock: Clock) -> None:
    """Sheet, JSON, night and owner's page."""
    clock.set("2031-04-15 12:00")
    view = show_job(left, "1")
    assert view.recheck
    words = (
        "due now: by 2031-06-01 or at 12100 km, whichever comes first, about 12130 km by its own history, an estimate"
    )
    assert words == stands_words(view.recheck)
    assert f"re-check: {words}" in " ".join(lines_of(view))
    kept = job_json(view, [])["recheck"]
    assert isinstance(kept, dict)
    assert (True, 0, "due") == (kept["estimated"], kept["late_m"], kept["state"])
    night = night_of(left, date(2031, 4, 15))
    (line,) = next(each.lines for each in night.sections if each.key == "due")
    says = "Re-check may be due: about 12130 km by its own history, an estimate; ask what the odometer shows."
    assert line.says.startswith(says)
    owner = owner_view(left, "1")
    assert owner.back
    assert (Safety.COME_BACK, False) == (owner.safety, owner.back.far)
    assert "by an estimate from its history it has run about 12130 km. Tell us what the odometer shows" in owner.says


def test_a_night_finds_it_by_the_list_and_a_published_page_turns(left: Workshop, clock: Clock) -> None:
    """On the day itself, and not before."""
    clock.set("2031-04-03 12:00")
    turned = {view.asked_on: view.safety for view in stages_of(left, "V-4")["1"]}
    clock.set("2031-04-13 12:00")
    due = [each.lines for day in (11, 12) for each in night_of(left, date(2031, 4, day)).sections if each.key == "due"]

    assert [0, 1] == [len(lines) for lines in due]
    assert (Safety.RIDE, Safety.COME_BACK) == (turned[date(2031, 4, 3)], turned[date(2031, 4, 12)])


def test_whoever_reads_it_ends_the_estimate(left: Workshop, clock: Clock) -> None:
    """By a ride told, or an arrival; what was read counts alone then."""
    clock.set("2031-04-14 12:00")
    before = standing(left)[0]
    report_ride(left, "1", 12_020_000, "", Say("owner"))
    told = [before, *seen(left, clock, "2031-04-15", "2031-05-20")]
    arrive(left, "V-4", 12_101_000, FOREMAN)
    play(left, "2031-05-20 13:00 job 1 handed over at 12101 km by P-1")
    clock.set("2031-05-20 14:00")

    assert ["due", "not yet due", "not yet due", "missed"] == [*told, standing(left)[0]]


def test_what_was_put_off_is_estimated_too(left: Workshop, clock: Clock) -> None:
    """To 12200 km, which it comes to on 22 April."""
    clock.set("2031-04-03 12:00")
    postpone_recheck(left, "1", Postponement(None, 12_200_000, "abroad"), FOREMAN)

    assert ["postponed", "due"] == seen(left, clock, "2031-04-21", "2031-04-22")
    assert "2031-04-20" <= str(left.book.rows("select estimated_on from jobs where job = 1")[0][0]) <= "2031-04-22"


def test_hours_are_estimated_in_hours(workshop: Workshop, enter: Enter, clock: Clock) -> None:
    """50 h in 100 days, so half an hour a day: 5 h are there on the tenth day."""
    came_and_left(workshop, enter, clock, Instrument.HOURS, "50 h", "100 h")

    assert ["not yet due", "due"] == seen(workshop, clock, "2031-04-11", "2031-04-12")
    assert standing(workshop)[1].endswith("about 105 h by its own history, an estimate")


def test_nothing_is_estimated_of_one_that_nobody_knows(workshop: Workshop, enter: Enter, clock: Clock) -> None:
    """It is read for the first time when it leaves."""
    enter("nut", NUT + PLAN)
    add_vehicle(workshop, "bike-4", "Kestrel 500", 2030, {}, FOREMAN)
    play(workshop, WORK.format(at="12000 km"))

    assert ["not yet due"] * 2 == seen(workshop, clock, "2031-04-20", "2031-05-30")
    left = workshop.record("1").first_ride
    assert left
    assert left.per_day is None


def test_an_exchange_before_it_left_is_part_of_its_history(workshop: Workshop, enter: Enter, clock: Clock) -> None:
    """400 km by the old odometer, and 600 km by the new one."""
    clock.set("2030-12-23 11:00")
    enter("nut", NUT + PLAN)
    add_vehicle(workshop, "bike-4", "Kestrel 500", 2030, {}, FOREMAN)
    play(workshop, "2030-12-23 11:00 V-4 arrived at 11000 km by P-2")
    clock.set("2031-02-01 11:00")
    exchange_instrument(workshop, "V-4", Replaced(Instrument.KM, 11_400_000, 0), FOREMAN)
    play(workshop, WORK.format(at="600 km"))
    left = workshop.record("1").first_ride

    assert left
    assert 10_000 == left.per_day
