"""A vehicle comes, is worked on, leaves and comes back: what is signed, what is asked, what counts from where."""

import pytest

from torqueaudit.book import vehicle_queries
from torqueaudit.model.act import Refused, Say, Topic
from torqueaudit.model.job.acts import Opening, Tighten
from torqueaudit.model.job.facts import Outcome
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.vehicles.corrections import strike_of_vehicle
from torqueaudit.workshop.vehicles.gone import gone

DONE = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
"""
LEFT = DONE + "2031-04-02 10:20 handed over at 12010 km by P-1\n"
BACK = LEFT + "2031-04-09 08:50 V-1 arrived at 12110 km by P-2\n"
REWORKED = (
    BACK
    + """
2031-04-09 09:00 rear-axle-nut mark disturbed by P-2
2031-04-09 09:05 rear-axle-nut loosened: its mark had moved by P-2
2031-04-09 09:10 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-09 09:11 rear-axle-nut mark intact by P-2
"""
)
LOOKED_TWICE = REWORKED + "2031-04-09 09:15 rear-axle-nut checked mark seen by P-3\n"


def refused(workshop: Workshop, *cards: str) -> str:
    with pytest.raises(Refused) as caught:
        play(workshop, *cards)
    return str(caught.value)


def here(workshop: Workshop) -> bool:
    return vehicle_queries.presence_at(workshop.book, "V-1").here


def test_a_vehicle_is_here_from_its_opening_until_it_is_handed_over(workshop: Workshop) -> None:
    """And again once it arrived."""
    stays = []
    for line in BACK.strip().splitlines():
        play(workshop, line)
        stays.append(here(workshop))

    assert [True, True, True, True, True, False, True] == stays


def test_a_vehicle_that_is_here_does_not_arrive(workshop: Workshop) -> None:
    """It was told already."""
    assert "V-1 is here already, since 2031-04-09 08:50" == refused(
        workshop, BACK + "2031-04-09 08:55 V-1 arrived at 12110 km by P-2"
    )


def test_an_odometer_counts_up_over_visits(workshop: Workshop) -> None:
    """Whichever job read it last."""
    says = refused(workshop, LEFT + "2031-04-09 08:50 V-1 arrived at 12000 km by P-2")

    assert says.startswith("12000 km is less than the 12010 km read on 2031-04-02 in job 1; read the odometer again")


def test_turning_a_nut_on_a_vehicle_that_is_away_asks_whether_it_is_here(workshop: Workshop) -> None:
    """One word will do, and it is recorded that it came."""
    play(workshop, LEFT + "2031-04-09 08:00 clock")
    said = Tighten(Outcome.TURNED_CLICKED, "W-1", "108 N·m")
    with pytest.raises(Refused) as caught:
        tighten(workshop, "1", "rear-axle-nut", said, Say("P-2"))
    tighten(workshop, "1", "rear-axle-nut", said, Say("P-2", here=True))

    assert "V-1 left on 2031-04-02 at 10:20; if it is here again, say so first" == str(caught.value)
    assert here(workshop)
    assert ["entered.1", "arrived.1"] == [entry.kind for entry in workshop.book.entries("vehicle/V-1")]


def test_a_late_entry_of_the_visit_before_asks_nothing(workshop: Workshop) -> None:
    """It happened while the vehicle was here, so nothing came back."""
    play(workshop, LEFT + "2031-04-02 12:00 clock\n2031-04-02 10:08 rear-axle-nut loosened: washer by P-2")

    assert not here(workshop)


@pytest.mark.parametrize(("who", "expected"), [("P-2", True), ("owner", False)])
def test_a_mark_seen_by_staff_says_that_it_is_here(workshop: Workshop, who: str, expected: object) -> None:
    """Its owner sees a mark wherever it stands."""
    play(workshop, LEFT + f"2031-04-05 19:00 rear-axle-nut mark intact by {who}")

    assert expected is here(workshop)


def test_a_job_opened_on_a_vehicle_that_is_away_brings_it_in(workshop: Workshop) -> None:
    """Nobody opens a job on a motorcycle that is not there."""
    play(workshop, LEFT)
    open_job(workshop, Opening("V-1", "axle", None), Say("P-2"))

    assert here(workshop)


def test_a_release_signs_no_later_work(workshop: Workshop) -> None:
    """Nine days after the release a nut is turned again: the record says that nobody has signed it."""
    play(workshop, REWORKED)
    view = show_job(workshop, "1")

    assert "open, with work that nobody has signed" == view.state
    assert ["rear axle nut"] == [subject.text for subject in view.unsigned]


def test_a_re_check_is_not_concluded_over_rework_nobody_signed(workshop: Workshop) -> None:
    """First what stands against it, then the signature; then it is done."""
    conclude = "2031-04-09 09:30 re-checked at 12110 km by P-2"
    stopped = refused(workshop, REWORKED + conclude)
    unsigned = refused(workshop, "2031-04-09 09:31 rear-axle-nut checked mark seen by P-3\n" + conclude)
    play(workshop, "2031-04-09 09:32 released by P-1\n2031-04-09 09:33 re-checked at 12110 km by P-2")

    assert "job 1: the re-check cannot be concluded while 1 stop stands:" == stopped.splitlines()[0]
    assert "nobody has signed what was done on rear axle nut. A foreman releases it first" in unsigned
    assert "released" == show_job(workshop, "1").state


def test_rework_leaves_with_a_release_of_its_own_and_plans_another_re_check(workshop: Workshop) -> None:
    """Two weeks and 100 km from the second leaving, as the procedure's plan says."""
    play(workshop, LEFT)
    first = workshop.record("1").first_ride
    play(workshop, LOOKED_TWICE.removeprefix(LEFT))
    play(workshop, "2031-04-09 09:32 released by P-1\n2031-04-09 10:00 handed over at 12112 km by P-1")
    second = workshop.record("1").first_ride

    assert first
    assert second
    assert ("2031-04-16", 12_110_000) == (str(first.due_on), first.due_distance_m)
    assert ("2031-04-23", 12_212_000) == (str(second.due_on), second.due_distance_m)
    assert "handed over" == show_job(workshop, "1").state


def test_a_vehicle_that_was_only_looked_at_leaves_without_another_re_check(workshop: Workshop) -> None:
    """The look after the first ride is done, and stays done."""
    play(
        workshop,
        BACK
        + """
        2031-04-09 09:00 rear-axle-nut mark intact by P-2
        2031-04-09 09:10 re-checked at 12110 km by P-2
        2031-04-09 09:20 handed over at 12110 km by P-1
        """,
    )
    record = workshop.record("1")

    assert ("re-checked", False, ()) == (record.state, here(workshop), record.unsigned)
    assert "2031-04-16" == str(record.first_ride.due_on if record.first_ride else None)


def test_what_is_told_late_after_the_release_is_unsigned(workshop: Workshop) -> None:
    """It happened before the release and was told after it, so the foreman did not see it."""
    play(workshop, LEFT + "2031-04-02 12:00 clock\n2031-04-02 10:08 rear-axle-nut loosened: washer by P-2")

    assert "handed over, with work that nobody has signed" == show_job(workshop, "1").state


def test_a_released_job_is_not_released_twice_for_nothing(workshop: Workshop) -> None:
    """There is nothing that a second signature would sign."""
    assert refused(workshop, DONE + "2031-04-02 10:16 released by P-1").endswith("and nothing was done since")


def test_a_vehicle_leaves_with_stops_only_where_somebody_says_why(workshop: Workshop) -> None:
    """Each stop is told; the reason is kept with the hand-over."""
    begun = "\n".join(DONE.splitlines()[:3])
    asked = refused(workshop, f"{begun}\n2031-04-02 10:20 handed over at 12010 km by P-2")
    play(workshop, "2031-04-02 10:21 handed over at 12010 km with stops: its owner towed it away by P-2")
    left = workshop.record("1").hand_over

    assert asked.splitlines()[0] == (
        "job 1 is not handed over while 2 stops stand; if it leaves with them all the same, say so and why:"
    )
    assert left
    assert ("its owner towed it away", 2) == (left.with_stops, len(left.stops))


def test_a_job_withdrawn_by_mistake_does_not_keep_its_vehicle_here(workshop: Workshop) -> None:
    """Opened on the wrong motorcycle, which is away."""
    play(
        workshop,
        LEFT
        + """
        2031-04-05 09:00 job 2 opened axle on V-1 by P-2
        2031-04-05 09:01 line 7 struck: the wrong motorcycle by P-2
        """,
    )

    assert not here(workshop)


def test_a_vehicle_that_will_not_come_back_is_waited_for_no_more(workshop: Workshop) -> None:
    """Scrapped: its re-check has gone with it, and so has every call; it may arrive all the same."""
    play(workshop, LEFT + "2031-05-20 09:00 rear-axle-nut mark disturbed by owner")
    before = road(workshop)
    gone(workshop, "V-1", "written off after a fall", Say("P-1", sure=True))
    recheck = show_job(workshop, "1").recheck

    assert recheck
    assert (["1"], [], "vehicle gone") == (before, road(workshop), recheck.standing.state)
    (line,) = not_coming_back(workshop)
    assert line.startswith("It will not come back, says P-1: written off after a fall. With a stop standing: rear axle")
    assert line.endswith("Nobody is called about it.")
    play(workshop, "2031-05-21 09:00 V-1 arrived at 13000 km by P-2")
    assert here(workshop)


def test_a_vehicle_that_is_gone_no_more_is_not_told_as_gone(workshop: Workshop) -> None:
    """Taken back, because it was another one; and of one that came in all the same."""
    play(workshop, LEFT)
    gone(workshop, "V-1", "sold abroad", Say("P-1"))
    strike_of_vehicle(workshop, "V-1", workshop.book.head().sequence, "it was V-2", Say("P-1"))
    struck = not_coming_back(workshop)
    gone(workshop, "V-1", "sold after all", Say("P-1"))
    again = not_coming_back(workshop)
    play(workshop, "2031-04-02 17:00 V-1 arrived at 13000 km by P-2")

    assert [] == struck
    assert ["It will not come back, says P-1: sold after all. Nobody is called about it."] == again
    assert [] == not_coming_back(workshop)


def test_a_stop_on_the_road_is_told_until_somebody_is_sure(workshop: Workshop) -> None:
    """Sold with a turned mark: whoever rides it now is in the same danger, also where the mark turned afterwards."""
    play(workshop, LEFT + "2031-05-20 09:00 rear-axle-nut mark disturbed by owner")
    before = workshop.book.head()
    with pytest.raises(
        Refused, match=r"^V-1: a stop stands: rear axle nut.*\. Reach whoever rides it first; if"
    ) as caught:
        gone(workshop, "V-1", "sold", Say("P-1"))
    assert Topic.GONE_WITH_STOPS is (caught.value.see and caught.value.see.topic)
    assert (["1"], before) == (road(workshop), workshop.book.head())
    gone(workshop, "V-1", "sold", Say("P-1", sure=True))
    with pytest.raises(Refused, match="V-1 is gone for good already"):
        gone(workshop, "V-1", "sold", Say("P-1", sure=True))
    assert [] == road(workshop)


def test_what_is_told_of_one_that_is_gone_is_told_until_somebody_is_sure(workshop: Workshop) -> None:
    """It was sold in order, and whoever bought it saw that the mark had turned."""
    play(workshop, LEFT)
    gone(workshop, "V-1", "sold", Say("P-1"))
    play(workshop, "2031-05-20 09:00 job 1 rear-axle-nut mark disturbed by owner")

    assert ["1"] == road(workshop)
    gone(workshop, "V-1", "sold; its rider was told", Say("P-1", sure=True))
    assert [] == road(workshop)


def test_a_vehicle_that_is_here_is_not_gone(workshop: Workshop) -> None:
    """It leaves with a hand-over first."""
    play(workshop, DONE)
    with pytest.raises(Refused) as caught:
        gone(workshop, "V-1", "sold abroad", Say("P-1"))

    assert "V-1 is here; hand it over first" == str(caught.value)


def told(workshop: Workshop) -> list[str]:
    """What the night of today says of the rest."""
    night = night_of(workshop, workshop.today())
    return [line.says for section in night.sections if section.key == "rest" for line in section.lines]


def not_coming_back(workshop: Workshop) -> list[str]:
    """What it says of vehicles that are gone."""
    return [each for each in told(workshop) if each.startswith("It will not come back")]


def road(workshop: Workshop) -> list[str]:
    """The jobs that the night of today calls in."""
    night = night_of(workshop, workshop.today())
    return [line.job for section in night.sections if section.key == "on-the-road" for line in section.lines]
