"""The last act of a job taken back, before anybody has built on it."""

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.undo import undo
from torqueaudit.workshop.judged.answer import answered
from torqueaudit.workshop.judged.job_view import show_job

OPENED = "2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2\n"
TIGHT = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
"""
MARKED = f"{TIGHT}2031-04-02 10:06 rear-axle-nut mark intact by P-2\n"
SIGNED = f"""{MARKED}
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
"""
GONE = f"{SIGNED}2031-04-02 10:20 handed over at 12010 km by P-2\n"


def taken_back(workshop: Workshop, by: str = "P-2", why: str = "") -> str:
    """What the answer to it says."""
    return answered(workshop, "1", undo(workshop, "1", why, Say(by)))[1].says


def refused(workshop: Workshop, by: str = "P-2") -> str:
    """Why it is not taken back; nothing is recorded."""
    before = workshop.book.head()
    with pytest.raises(Refused) as caught:
        undo(workshop, "1", "", Say(by))
    assert before == workshop.book.head()
    return str(caught.value)


ACTS = [
    ("rear-axle-nut 108 N·m with W-1", "rear axle nut: 108.0 N·m ± 5.0 N·m (W-1 at 108 N·m), in"),
    ("rear-axle-nut loosened: wheel out again", "rear axle nut: loosened"),
    ("slack measured 37 mm", "chain slack: 37 mm"),
    ("bike-secured yes", "motorcycle secured: yes"),
    ("tab-washer fitted washer lot L-7", "tab washer: washer, lot L-7, new"),
]


@pytest.mark.parametrize(("line", "says"), ACTS)
def test_the_last_act_is_taken_back_and_the_answer_says_what_it_was(workshop: Workshop, line: str, says: str) -> None:
    play(workshop, OPENED)
    before = show_job(workshop, "1")
    play(workshop, f"2031-04-02 10:05 {line} by P-2")
    entry = workshop.book.head().sequence

    assert f"taken back (#{entry}): {says}" == taken_back(workshop)
    now = show_job(workshop, "1")
    assert (before.fasteners, before.items, before.stops) == (now.fasteners, now.items, now.stops)
    assert [f"entry {entry} "] == [each[: len(f"entry {entry} ")] for each in now.strikes]


def test_a_whole_group_is_taken_back_as_one(workshop: Workshop) -> None:
    """The second stage goes, the first one stands again; each bolt has a strike of its own with one reason."""
    play(
        workshop,
        OPENED
        + """
        2031-04-02 10:05 sprocket-bolt stage 1 15 N·m with W-1 by P-2
        2031-04-02 10:06 sprocket-bolt 50 N·m with W-1 by P-2
        """,
    )
    last = workshop.book.head().sequence

    assert f"taken back (#{last - 4} to #{last}): sprocket bolt 1 to 5: 50.0 N·m ± 2.3 N·m (W-1 at 50 N·m), in" == (
        taken_back(workshop)
    )
    record = workshop.record("1")
    assert {(1, "taken back at once")} == {
        (now.tightening.stage if now.tightening else 0, each.why)
        for each in record.strikes
        for now in [record.current(f"sprocket-bolt-{each.entry - last + 5}")]
    }


def test_it_goes_back_step_by_step_and_stops_before_the_opening(workshop: Workshop) -> None:
    """One word too many withdraws no job that somebody has worked on."""
    play(workshop, MARKED)
    said = [taken_back(workshop), taken_back(workshop, why="wrong motorcycle")]

    assert ["rear axle nut: mark intact", "rear axle nut: 108.0 N·m"] == [
        says.partition("): ")[2].partition(" ±")[0] for says in said
    ]
    assert refused(workshop) == (
        "job 1: nothing on it is left to be taken back but its opening; strike it, and say why"
    )
    assert "wrong motorcycle" == workshop.record("1").strikes[-1].why


def test_a_job_that_was_only_opened_is_withdrawn(workshop: Workshop) -> None:
    play(workshop, OPENED)

    assert "taken back (#16): the opening, so that the job is withdrawn" == taken_back(workshop)
    assert "withdrawn" == show_job(workshop, "1").state


BUILT_ON = [
    ("rear-axle-nut checked watched by P-3", "P-3 has checked rear axle nut since"),
    ("rear-axle-nut loosened: spacer by P-3", "P-3 has loosened rear axle nut since"),
    ("rear-axle-nut mark intact by P-3", "P-3 has looked at the mark of rear axle nut since"),
    ("rear-axle-nut 108 N·m with W-1 clicked without turning by P-3", "P-3 has tightened rear axle nut since"),
    ("handed over at 12010 km with stops: fetched at once by P-1", "P-1 has handed the vehicle over since"),
]


@pytest.mark.parametrize(("line", "says"), BUILT_ON)
def test_what_others_built_on_is_not_taken_back(workshop: Workshop, line: str, says: str) -> None:
    play(workshop, f"{TIGHT}2031-04-02 10:07 {line}")
    entry = workshop.book.head().sequence

    assert refused(workshop) == (
        f"job 1: {says} (#{entry}), and what others built on is not taken back at once; strike it, and say why"
    )


def test_a_release_is_built_on_what_it_signs(workshop: Workshop) -> None:
    play(workshop, SIGNED)

    assert refused(workshop, "P-3").startswith("job 1: P-1 has released the job since (#20)")


def test_a_concession_is_built_on_what_it_permits(workshop: Workshop) -> None:
    play(
        workshop,
        OPENED
        + """
        2031-04-02 10:05 disc-bolt no torque wrench fits by P-2
        2031-04-02 10:07 conceded no-wrench-fits on disc-bolt until 2031-05-01: by hand, 100 km by P-1
        """,
    )

    assert refused(workshop).startswith("job 1: P-1 has granted a concession for it since (#18)")


def test_what_somebody_did_elsewhere_is_not_built_on_it(workshop: Workshop) -> None:
    """P-3 measured something else in the meantime; the last act of P-2 goes, and that of P-3 stays."""
    play(
        workshop,
        OPENED
        + """
        2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
        2031-04-02 10:07 wear measured 2 mm by P-3
        """,
    )

    assert taken_back(workshop).startswith("taken back (#17): rear axle nut")
    assert workshop.record("1").measured("wear")


def test_a_foreman_takes_back_the_last_act_of_anybody_and_nobody_else_does(workshop: Workshop) -> None:
    play(workshop, TIGHT)

    assert "P-3 is mechanic; only a foreman may do this" == refused(workshop, "P-3")
    assert "taken back (#17, told by P-2): rear axle nut: 108.0 N·m ± 5.0 N·m (W-1 at 108 N·m), in" == (
        taken_back(workshop, "P-1")
    )


def test_the_next_morning_it_is_too_late(workshop: Workshop, clock: Clock) -> None:
    """Twelve hours to the second are within."""
    play(workshop, TIGHT)
    clock.set("2031-04-02 22:06")

    assert refused(workshop) == (
        "job 1: #17 was told on 2031-04-02 at 10:05, and what is older than 12 hours is not taken back at once; strike "
        "it, and say why"
    )
    clock.set("2031-04-02 22:05")
    assert taken_back(workshop)


def test_a_strike_is_not_taken_back(workshop: Workshop) -> None:
    play(workshop, f"{MARKED}2031-04-02 10:07 line 3 struck: smudged by P-2")

    says = "job 1: the last act of P-2 was to strike an entry (#19), and no strike is taken back"

    assert f"{says}; say the fact again instead" == refused(workshop)


def test_a_hand_over_of_the_wrong_job_is_taken_back_by_whoever_told_it(workshop: Workshop) -> None:
    """The motorcycle never left, and nobody is to be reached."""
    play(workshop, GONE)

    assert taken_back(workshop).startswith("taken back (#21): left at 12010 km")
    assert ("released", True) == (show_job(workshop, "1").state, show_job(workshop, "1").presence.here)


def test_an_arrival_that_an_act_told_as_well_stays(workshop: Workshop) -> None:
    """It was the wrong nut; the motorcycle is here all the same."""
    play(workshop, f"{GONE}2031-04-05 09:00 rear-axle-nut loosened: wheel out by P-2")

    assert "taken back (#23): rear axle nut: loosened; that V-1 is here again stays" == taken_back(workshop)
    assert show_job(workshop, "1").presence.here


def test_what_was_told_after_the_release_and_taken_back_leaves_it_as_it_was(workshop: Workshop) -> None:
    """The release did not sign it, and its strike takes nothing from what was signed."""
    play(workshop, f"{SIGNED}2031-04-02 10:16 rear-axle-nut loosened: wrong job by P-2")
    taken_back(workshop)

    assert ("released", ()) == (show_job(workshop, "1").state, show_job(workshop, "1").stops)
    assert [] == findings(workshop, rule="workshop_rules/struck-after-release")


def test_a_card_takes_back_its_last_line(workshop: Workshop) -> None:
    play(workshop, f"{MARKED}2031-04-02 10:07 taken back: smudged by P-2\n2031-04-02 10:08 taken back by P-2")

    assert ["smudged", "taken back at once"] == [each.why for each in workshop.record("1").strikes]


def test_the_same_undo_sent_again_takes_nothing_more(workshop: Workshop) -> None:
    play(workshop, MARKED)
    first, again = (undo(workshop, "1", "", Say("P-2", id="phone-9")) for _ in range(2))

    assert first == again
    assert 1 == len(workshop.record("1").strikes)


def test_what_a_page_showed_is_taken_back_and_no_other_act(workshop: Workshop) -> None:
    """A mechanic looks at the act of a colleague: their own one stays, whatever the page offers."""
    play(workshop, TIGHT)
    own, anothers = workshop.book.entries("job/1")[-1], "an-act-of-somebody-else"
    before = workshop.book.head()

    with pytest.raises(Refused, match="is not what the page showed"):
        undo(workshop, "1", "", Say(own.who), anothers)
    assert before == workshop.book.head()
    undo(workshop, "1", "", Say(own.who), own.act)
    assert before != workshop.book.head()
