"""A motorcycle is read off by its own instrument, and its re-check is due by what that counts, or by days."""

from collections.abc import Callable
from datetime import date

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.recheck.state import RecheckState
from torqueaudit.model.shown.recheck import stands_words
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.vehicle.instrument import Hours, Instrument
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.release import hand_over
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.recheck.road import report_ride
from torqueaudit.workshop.vehicles.corrections import change_vehicle
from torqueaudit.workshop.vehicles.present import show_vehicle
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

FOREMAN, MECHANIC = Say("P-1"), Say("P-2")
# Invented, as the motorcycle is.
NUT = """
[[work]]
tighten = "nut"
name = "nut"
torque = "108 N·m"
tolerance = "10 %"
mark = true
source = "manual"
page = "1"
"""
BY_ALL = """
[recheck]
distance = "100 km"
days = 14
hours = 5
grace_days = 7
grace_hours = 1.5
marks = "all"
"""
BY_DISTANCE = """
[recheck]
distance = "100 km"
marks = "all"
"""
WORK = """
2031-04-02 10:00 job 1 opened nut on V-4{at} by P-2
2031-04-02 10:05 nut 108 N·m with W-1 by P-2
2031-04-02 10:06 nut mark intact by P-2
2031-04-02 10:15 released by P-1
"""
Enter = Callable[..., str]


def worked(workshop: Workshop, enter: Enter, instrument: Instrument, plan: str, at: str = "") -> None:
    """Job 1 on V-4, which has this instrument, released."""
    enter("nut", NUT + plan)
    add_vehicle(workshop, "bike-4", "Kestrel 500", 2030, {}, FOREMAN, instrument)
    play(workshop, WORK.format(at=f" at {at}" if at else ""))


def standing(workshop: Workshop) -> tuple[str, str]:
    """The state of the re-check, and in words."""
    recheck = show_job(workshop, "1").recheck
    assert recheck
    return recheck.standing.state.value, stands_words(recheck)


def test_running_hours_make_a_re_check_due_and_missed(workshop: Workshop, enter: Enter, clock: Clock) -> None:
    """Five hours after 118.5 h, with a grace of 1.5 h; the distance of the plan is counted by nothing."""
    worked(workshop, enter, Instrument.HOURS, BY_ALL, "118.5 h")
    play(workshop, "2031-04-02 11:00 job 1 handed over at 118.5 h by P-1")
    assert ("not yet due", "due by 2031-04-16 or at 123.5 h, whichever comes first") == standing(workshop)

    told: list[str] = []
    for hours in ("123.4 h", "123.5 h", "125 h", "125.1 h"):
        clock.set(f"2031-04-0{3 + len(told)} 12:00")
        play(workshop, f"2031-04-0{3 + len(told)} 12:00 job 1 ridden to {hours} by owner")
        told.append(standing(workshop)[0])

    assert ["not yet due", "due", "due", "missed"] == told
    assert standing(workshop)[1].endswith("whichever comes first – 1.6 h late")
    sections = night_of(workshop, date(2031, 4, 6)).sections
    (line,) = next(section.lines for section in sections if section.key == "re-checks-missed")
    assert (96, "1.6 h", True) == (line.minutes_late, line.late_far, line.says.startswith("Re-check 1.6 h late."))


def test_days_come_first_where_it_hardly_runs(workshop: Workshop, enter: Enter, clock: Clock) -> None:
    """Whichever comes first."""
    worked(workshop, enter, Instrument.HOURS, BY_ALL, "118.5 h")
    play(workshop, "2031-04-02 11:00 job 1 handed over at 118.5 h by P-1")
    clock.set("2031-04-16 12:00")

    assert "due" == standing(workshop)[0]


def test_miles_are_asked_and_shown_and_reached_as_they_are_read(workshop: Workshop, enter: Enter, clock: Clock) -> None:
    """100 km after 7500 mi is 7562.1 mi: at 7562 mi, the figure that the owner was told, it is due."""
    worked(workshop, enter, Instrument.MILES, BY_ALL, "7500 mi")
    play(workshop, "2031-04-02 11:00 job 1 handed over at 7500 mi by P-1")
    assert "due by 2031-04-16 or at 7562 mi, whichever comes first" == standing(workshop)[1]
    back = owner_view(workshop, "1").back
    assert back
    assert "7\N{NO-BREAK SPACE}562\N{NO-BREAK SPACE}mi" == back.due_at

    play(workshop, "2031-04-03 12:00 job 1 ridden to 7561 mi by owner")
    before = standing(workshop)[0]
    play(workshop, "2031-04-04 12:00 job 1 ridden to 7562 mi by owner")
    clock.set("2031-04-05 12:00")

    assert ("not yet due", "due") == (before, standing(workshop)[0])
    assert "7562 mi" == show_vehicle(workshop, "V-4").read


def test_without_an_instrument_days_alone_count_and_nobody_is_asked(
    workshop: Workshop, enter: Enter, clock: Clock
) -> None:
    """From opening to leaving, arriving and the re-check."""
    worked(workshop, enter, Instrument.NONE, BY_ALL)
    play(workshop, "2031-04-02 11:00 job 1 handed over by P-1")
    before = standing(workshop)
    play(
        workshop,
        "2031-04-09 09:00 V-4 arrived by P-2",
        "2031-04-09 09:05 job 1 nut mark intact by P-2\n2031-04-09 09:10 re-checked by P-2",
    )
    clock.set("2031-04-09 12:00")

    assert ("not yet due", "due by 2031-04-16") == before
    assert ("done", "done on 2031-04-09 by P-2") == standing(workshop)
    assert "" == show_vehicle(workshop, "V-4").read


def test_a_plan_of_distance_alone_asks_the_foreman_for_a_day(workshop: Workshop, enter: Enter, clock: Clock) -> None:
    """No day is made up, and a mechanic names none."""
    worked(workshop, enter, Instrument.NONE, BY_DISTANCE)
    clock.set("2031-04-02 11:00")
    plainly = "job 1: its re-check is planned after 100 km and by no day, and nothing on V-4 shows that. A foreman says"
    with pytest.raises(Refused, match=plainly):
        hand_over(workshop, "1", None, FOREMAN)
    with pytest.raises(Refused, match="foreman"):
        hand_over(workshop, "1", None, MECHANIC, recheck_by=date(2031, 4, 20))
    for day in (date(2031, 4, 2), date(2033, 4, 2)):
        with pytest.raises(Refused, match="the day of a re-check lies ahead, and within a year"):
            hand_over(workshop, "1", None, FOREMAN, recheck_by=day)

    hand_over(workshop, "1", None, FOREMAN, recheck_by=date(2031, 4, 20))

    assert ("not yet due", "due by 2031-04-20") == standing(workshop)


def test_a_day_is_named_by_nobody_where_the_plan_says_when(workshop: Workshop, enter: Enter, clock: Clock) -> None:
    """It would put the re-check off at the moment of leaving."""
    worked(workshop, enter, Instrument.KM, BY_DISTANCE, "12000 km")
    clock.set("2031-04-02 11:00")
    with pytest.raises(Refused, match="no day is said for its re-check, because its procedure says when"):
        hand_over(workshop, "1", 12_000_000, FOREMAN, recheck_by=date(2031, 4, 20))


@pytest.mark.parametrize(
    ("instrument", "run", "says"),
    [
        (Instrument.KM, None, "V-4: say what its odometer shows, in km"),
        (Instrument.KM, Hours(60), "V-4 has an odometer in km: tell what that shows, like 12000 km"),
        (Instrument.MILES, None, "V-4: say what its odometer shows, in mi"),
        (Instrument.HOURS, 12_000_000, "V-4 has an hour meter in h: tell what that shows, like 12.5 h"),
        (Instrument.NONE, 12_000_000, "V-4 has neither odometer nor hour meter, so nothing is read off it"),
    ],
)
def test_what_the_instrument_does_not_show_is_refused(
    workshop: Workshop, enter: Enter, clock: Clock, instrument: Instrument, run: int | Hours | None, says: str
) -> None:
    """And nothing is recorded."""
    worked(workshop, enter, instrument, BY_ALL)
    clock.set("2031-04-02 11:00")
    before = workshop.book.head()
    with pytest.raises(Refused, match=says):
        hand_over(workshop, "1", run, FOREMAN)
    assert before == workshop.book.head()


def test_running_hours_are_held_against_those_before(workshop: Workshop, enter: Enter, clock: Clock) -> None:
    """None are lost, none come twice, and no day has more than 24 of them."""
    worked(workshop, enter, Instrument.HOURS, BY_ALL, "118.5 h")
    play(workshop, "2031-04-02 11:00 job 1 handed over at 118.6 h by P-1")
    clock.set("2031-04-04 11:00")
    for minutes, says in (
        (118 * 60, "118 h is less than the 118.6 h read on 2031-04-02 in job 1; read the hour meter again"),
        (180 * 60, "180 h is 61.4 h more than the 118.6 h read on .*, and no day has more than 24 h. Read the hour"),
        (1200 * 60, "1200 h is ten times the 118.6 h read on .*, or more: is there a digit too many"),
    ):
        with pytest.raises(Refused, match=says):
            report_ride(workshop, "1", Hours(minutes), "", MECHANIC)


def test_kilometres_may_turn_out_to_be_miles_and_never_hours(workshop: Workshop, enter: Enter) -> None:
    """What was read stays what it is."""
    worked(workshop, enter, Instrument.KM, BY_ALL, "12000 km")
    change_vehicle(workshop, "V-4", VehicleChange(instrument=Instrument.MILES), MECHANIC)
    with pytest.raises(Refused, match="V-4: a distance was read off it already"):
        change_vehicle(workshop, "V-4", VehicleChange(instrument=Instrument.HOURS), MECHANIC)

    assert "7456 mi" == show_vehicle(workshop, "V-4").read


def test_a_re_check_that_nothing_counts_is_due_at_once(workshop: Workshop, enter: Enter) -> None:
    """Nobody would ever be called about it otherwise."""
    worked(workshop, enter, Instrument.NONE, BY_ALL)
    play(workshop, "2031-04-02 11:00 job 1 handed over by P-1")
    record = workshop.record("1")
    left = record.first_ride
    assert left
    from torqueaudit.model.procedure.procedure import RecheckPlan
    from torqueaudit.model.recheck.state import Now, standing_of
    from torqueaudit.model.vehicle.visits import Presence

    bare = record._replace(facts=tuple(fact._replace(due_on=None) if fact is left else fact for fact in record.facts))
    now = Now(date(2031, 4, 3), None, Presence(here=False), overtaken=False)

    assert RecheckState.DUE is standing_of(RecheckPlan(days=14), bare, now).state
