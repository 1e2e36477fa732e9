"""An instrument that was replaced: the re-check comes at the same distance, whatever the new one shows."""

from datetime import date

import pytest

from torqueaudit.model.act import BY_LABEL, Refused, Say
from torqueaudit.model.job.acts import Postponement
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.vehicle.exchange import Replaced
from torqueaudit.model.vehicle.instrument import Hours, Instrument
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.arranging import postpone_recheck
from torqueaudit.workshop.recheck.owner import owner_view
from torqueaudit.workshop.recheck.road import report_ride
from torqueaudit.workshop.vehicles.corrections import change_vehicle, strike_of_vehicle
from torqueaudit.workshop.vehicles.exchange import exchange_instrument
from torqueaudit.workshop.vehicles.present import show_vehicle

from .test_instruments import BY_ALL, BY_DISTANCE, FOREMAN, MECHANIC, Enter, standing, worked

LEFT = "2031-04-02 11:00 job 1 handed over at 12000 km by P-1"  # due at 12100 km
NEW = Replaced(Instrument.KM, 12_060_000, 0)


@pytest.fixture
def left(workshop: Workshop, enter: Enter, clock: Clock) -> Workshop:
    """V-4 left at 12000 km, and is due after 100 km or 14 days."""
    worked(workshop, enter, Instrument.KM, BY_ALL, "12000 km")
    play(workshop, LEFT)
    clock.set("2031-04-03 12:00")
    return workshop


def test_what_was_ridden_before_counts_on(left: Workshop, clock: Clock) -> None:
    """60 km by the old one: due at 40 km of the new one, and missed behind that; its owner is told the new figure."""
    exchange_instrument(left, "V-4", NEW, MECHANIC)
    back = owner_view(left, "1").back
    assert back
    told = [standing(left), back.due_at]
    for day, metres in ((4, 39_999), (5, 40_000), (6, 41_000)):
        clock.set(f"2031-04-0{day} 12:00")
        report_ride(left, "1", metres, "", Say("owner"))
        told.append(standing(left)[0])

    due = "due by 2031-04-16 or at 40 km, whichever comes first"
    assert [("not yet due", due), "40\N{NO-BREAK SPACE}km", "not yet due", "due", "missed"] == told
    assert standing(left)[1].endswith("1 km late")
    assert [] == findings(left, rule="workshop_rules/odometer-lower")


def test_a_night_finds_it(left: Workshop, clock: Clock) -> None:
    """Also where the new figure is far below what the list of jobs holds; and it is told of nothing before."""
    exchange_instrument(left, "V-4", NEW, MECHANIC)
    report_ride(left, "1", 39_000, "", Say("owner"))
    before = sections(left, date(2031, 4, 3))
    clock.set("2031-04-04 12:00")
    report_ride(left, "1", 40_000, "", Say("owner"))

    assert [] == before
    assert ["due"] == sections(left, date(2031, 4, 4))


def sections(workshop: Workshop, day: date) -> list[str]:
    """The sections of a night that tell of a re-check."""
    night = night_of(workshop, day)
    return [each.key for each in night.sections for line in each.lines if line.says.startswith("Re-check ")]


def test_one_that_is_told_late_puts_everything_right(left: Workshop, clock: Clock) -> None:
    """A ride was read off the new one before anybody said that there is one."""
    clock.set("2031-04-06 12:00")
    sure = Say("P-2", sure=True)
    play(left, "2031-04-05 09:00 V-4 arrived at 45 km, sure by P-2\n2031-04-05 10:00 job 1 handed over at 45 km by P-1")
    clock.set("2031-04-06 13:00")
    wrong = standing(left)[0]
    assert findings(left, rule="workshop_rules/odometer-lower")

    exchange_instrument(left, "V-4", NEW, sure._replace(at=clock.moment.replace(day=4)))

    assert ("not yet due", "missed") == (wrong, standing(left)[0])
    assert [] == findings(left, rule="workshop_rules/odometer-lower")


def test_one_that_was_false_is_taken_back(left: Workshop) -> None:
    """And everything is as it was."""
    before = standing(left)
    entry = int(exchange_instrument(left, "V-4", NEW, MECHANIC).exchanges[-1].order[1])
    struck = strike_of_vehicle(left, "V-4", entry, "it was another one", MECHANIC)

    assert "its instrument was replaced" == struck.said
    assert (before, "12000 km") == (standing(left), show_vehicle(left, "V-4").read)


def test_a_new_one_may_be_in_miles(left: Workshop) -> None:
    """The distance stays what it is."""
    exchange_instrument(left, "V-4", Replaced(Instrument.MILES, 12_060_000, 160_934), MECHANIC)

    assert "due by 2031-04-16 or at 124 mi, whichever comes first" == standing(left)[1]
    assert "100 mi" == show_vehicle(left, "V-4").read


def test_a_new_one_of_another_kind_leaves_the_days(left: Workshop) -> None:
    """Nothing tells how many hours 100 km would have been."""
    exchange_instrument(left, "V-4", Replaced(Instrument.HOURS, 12_060_000, Hours(0)), MECHANIC)
    assert ("not yet due", "due by 2031-04-16") == standing(left)

    exchange_instrument(left, "V-4", Replaced(Instrument.NONE, Hours(60), None), MECHANIC)
    assert ("not yet due", "due by 2031-04-16") == standing(left)
    exchange_instrument(left, "V-4", Replaced(Instrument.KM, None, 5_000_000), MECHANIC)
    assert ("not yet due", "due by 2031-04-16") == standing(left)


def test_a_re_check_that_hangs_on_distance_alone_gets_a_day_first(
    workshop: Workshop, enter: Enter, clock: Clock
) -> None:
    """Else nobody would ever be called."""
    worked(workshop, enter, Instrument.KM, BY_DISTANCE, "12000 km")
    play(workshop, LEFT)
    clock.set("2031-04-03 12:00")
    told = Replaced(Instrument.HOURS, 12_060_000, Hours(0))
    with pytest.raises(Refused, match="V-4: the re-check of job 1 is due by what the old instrument shows alone"):
        exchange_instrument(workshop, "V-4", told, MECHANIC)

    postpone_recheck(workshop, "1", Postponement(date(2031, 4, 20), None, "its instrument was replaced"), FOREMAN)
    exchange_instrument(workshop, "V-4", told, MECHANIC)

    assert ("postponed", "postponed, due by 2031-04-20") == standing(workshop)


@pytest.mark.parametrize(
    ("told", "says"),
    [
        (Replaced(Instrument.KM, None, 0), "V-4: say what its odometer shows, in km"),
        (Replaced(Instrument.KM, 12_060_000, None), "V-4: say what its odometer shows, in km"),
        (Replaced(Instrument.HOURS, 12_060_000, 0), "V-4 has an hour meter in h: tell what that shows"),
        (Replaced(Instrument.NONE, 12_060_000, 0), "V-4 has neither odometer nor hour meter"),
        (Replaced(Instrument.KM, Hours(6), 0), "V-4 has an odometer in km: tell what that shows"),
        (Replaced(Instrument.KM, 11_000_000, 0), "11000 km is less than the 12000 km read on 2031-04-02 in job 1"),
    ],
)
def test_what_cannot_be_is_refused(left: Workshop, told: Replaced, says: str) -> None:
    """And nothing is recorded."""
    before = left.book.head()
    with pytest.raises(Refused, match=says):
        exchange_instrument(left, "V-4", told, MECHANIC)
    assert before == left.book.head()


def test_a_label_cannot_count_down_across_it(left: Workshop, clock: Clock) -> None:
    """What the old one would show is far too much for the new one."""
    exchange_instrument(left, "V-4", NEW, MECHANIC)
    report_ride(left, "1", 20_000, "", Say("owner"))
    clock.set("2031-04-03 13:00")
    for metres in (19_000, 12_100_000):
        with pytest.raises(Refused, match="this does not fit what was read before"):
            report_ride(left, "1", metres, "", Say("owner", came=BY_LABEL))


def test_a_kind_is_put_right_by_striking_the_exchange(left: Workshop) -> None:
    """What was entered first is history then."""
    exchange_instrument(left, "V-4", NEW, MECHANIC)
    with pytest.raises(Refused, match="V-4: its instrument was replaced, entry"):
        change_vehicle(left, "V-4", VehicleChange(instrument=Instrument.MILES), MECHANIC)


def test_what_was_put_off_counts_on_too(left: Workshop) -> None:
    """To 12400 km, of which 60 km are ridden: 340 km by the new one."""
    postpone_recheck(left, "1", Postponement(date(2031, 5, 2), 12_400_000, "abroad"), FOREMAN)
    exchange_instrument(left, "V-4", NEW, MECHANIC)

    assert "postponed, due by 2031-05-02 or at 340 km, whichever comes first" == standing(left)[1]
    recheck = show_job(left, "1").recheck
    assert recheck
    assert (340_000, -340_000) == (recheck.due_distance_m, recheck.standing.metres)
