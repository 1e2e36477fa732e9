"""An odometer held against what was read off the vehicle before and after, over all its jobs."""

import pytest

from torqueaudit.model.act import BY_LABEL, Refused, Say
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.recheck.road import report_ride

# Job 1 on V-1: opened at 12000 km, handed over at 12010 km on 2031-04-02, re-checked at 12100 km on 2031-04-09.
DONE = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
2031-04-09 09:00 rear-axle-nut mark intact by P-2
2031-04-09 09:10 re-checked at 12100 km by P-2
"""
BEFORE = "12100 km read on 2031-04-09 in job 1"
SAYS_SO = "if the instrument was replaced, say so first, and if it is so all the same, that you are sure"
EXCHANGED = f"read the odometer again; {SAYS_SO}"
AGAIN = "Read the odometer again; if it is so, say that you are sure"


def refused(workshop: Workshop, *cards: str) -> str:
    """Why the last of these cards is refused; nothing of it is recorded."""
    play(workshop, *cards[:-1])
    before = workshop.book.head()
    with pytest.raises(Refused) as caught:
        play(workshop, cards[-1])
    assert before == workshop.book.head()
    return str(caught.value)


@pytest.mark.parametrize(
    ("line", "says"),
    [
        (
            "2031-04-10 08:00 job 2 opened axle on V-1 at 1210 km by P-2",
            f"1210 km is less than the {BEFORE}; {EXCHANGED}",
        ),
        (
            "2031-04-10 08:00 job 2 opened axle on V-1 at 121000 km by P-2",
            f"121000 km is ten times the {BEFORE}, or more: is there a digit too many? {AGAIN}",
        ),
        (
            "2031-04-11 09:10 job 2 opened axle on V-1 at 16101 km by P-2",
            f"16101 km is 4001 km more than the {BEFORE}, and nobody rides 2000 km a day. {AGAIN}",
        ),
        (
            "2031-04-05 09:00 job 1 ridden to 12105 km by owner",
            f"12105 km is more than the 12100 km read later, on 2031-04-09 in job 1. Look at the date too. {AGAIN}",
        ),
        (
            "2031-04-10 09:00 job 1 ridden to 12099 km by owner",
            f"12099 km is less than the {BEFORE}; read the odometer again",
        ),
    ],
    ids=["a digit lost", "a digit too many", "too far", "told late", "on the road"],
)
def test_an_odometer_that_does_not_fit_is_refused(workshop: Workshop, line: str, says: str) -> None:
    """It says where the other one was read, and what to do."""
    assert says == refused(workshop, DONE, line)


@pytest.mark.parametrize(
    "line",
    [
        "2031-04-10 08:00 job 2 opened axle on V-1 at 12100 km by P-2",
        "2031-04-11 09:10 job 2 opened axle on V-1 at 16100 km by P-2",
        "2031-04-09 10:00 job 2 opened axle on V-1 at 14100 km by P-2",
        "2031-04-05 09:00 job 1 ridden to 12060 km by owner",
        "2031-04-10 08:00 job 2 opened axle on V-2 at 7 km by P-2",
    ],
    ids=["nothing ridden", "2000 km a day", "the same day", "told late", "another vehicle"],
)
def test_an_odometer_that_fits_is_taken(workshop: Workshop, line: str) -> None:
    """Nobody is asked anything."""
    play(workshop, DONE, line)


@pytest.mark.parametrize("odometer", ["40", "121000", "90000"])
def test_who_is_sure_is_believed(workshop: Workshop, odometer: str) -> None:
    """One word; of a lower one the rules go on saying that it was exchanged or misread."""
    play(workshop, DONE, f"2031-04-10 08:00 job 2 opened axle on V-1 at {odometer} km, sure by P-2")
    told = findings(workshop, "2", rule="workshop_rules/odometer-lower")

    assert int(odometer) * 1000 == workshop.record("2").odometer_m
    assert (odometer == "40") == bool(told)


def test_after_an_instrument_was_exchanged_the_new_one_counts(workshop: Workshop) -> None:
    """What it showed last is what the next one is held against."""
    play(workshop, DONE, "2031-04-10 08:00 job 2 opened axle on V-1 at 40 km, sure by P-2")
    play(workshop, "2031-04-12 08:00 job 3 opened axle on V-1 at 60 km by P-2")
    says = refused(workshop, "2031-04-13 08:00 job 4 opened axle on V-1 at 50 km by P-2")

    assert says.startswith("50 km is less than the 60 km read on 2031-04-12 in job 3;")


def test_a_report_from_the_road_never_counts_down(workshop: Workshop) -> None:
    """It may bring a re-check forward and never puts one off, however sure somebody is."""
    says = refused(workshop, DONE, "2031-04-10 09:00 job 1 ridden to 20 km, sure by owner")

    assert says == f"20 km is less than the {BEFORE}; read the odometer again"


def test_a_new_motorcycle_may_have_run_ten_times_as_far(workshop: Workshop) -> None:
    """Below 1000 km that is a first month, and no digit too many."""
    play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 at 90 km by P-2")
    play(workshop, "2031-04-03 10:00 job 2 opened axle on V-1 at 950 km by P-2")

    assert "open" == show_job(workshop, "2").state


def test_a_reading_that_was_struck_is_held_against_nothing(workshop: Workshop) -> None:
    """Whoever mistyped it strikes it."""
    play(
        workshop,
        DONE,
        "2031-04-10 08:00 job 1 ridden to 13100 km by owner\n2031-04-10 09:00 line 1 struck: mistyped by P-1",
    )
    play(workshop, "2031-04-10 10:00 job 2 opened axle on V-1 at 12110 km by P-2")

    assert 12_110_000 == workshop.record("2").odometer_m


def test_an_arrival_is_held_against_the_history_too(workshop: Workshop) -> None:
    """And later readings against it."""
    left = DONE.partition("2031-04-09")[0]
    says = refused(workshop, left, "2031-04-09 08:00 V-1 arrived at 120100 km by P-2")
    play(workshop, "2031-04-09 08:01 V-1 arrived at 12300 km by P-2")
    lower = refused(workshop, "2031-04-09 08:10 job 2 opened axle on V-1 at 12290 km by P-2")

    assert says.startswith("120100 km is ten times the 12010 km read on 2031-04-02 in job 1, or more")
    assert lower.startswith("12290 km is less than the 12300 km read on 2031-04-09; read the odometer again")


def test_what_a_label_told_is_not_called_read(workshop: Workshop) -> None:
    """Nobody of the workshop saw it, and no instrument need have been exchanged: it may be a stranger's."""
    play(workshop, DONE)
    (told,) = report_ride(workshop, "1", 13_000_000, "", Say("owner", came=BY_LABEL))
    day = workshop.today()
    says = refused(workshop, f"{day} 23:00 job 2 opened axle on V-1 at 12110 km by P-2")

    label = f"13000 km told by the label on {day} (entry {told.sequence})"
    false = f"It was told by a label alone: if it is false, strike #{told.sequence} first"
    assert f"12110 km is less than the {label}; read the odometer again. {false}; {SAYS_SO}" == says
