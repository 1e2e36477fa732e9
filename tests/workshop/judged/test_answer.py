"""What an act is answered with: the vehicle, what of it, what was applied and how far the group has come."""

import pytest

from torqueaudit.book.heads import newest
from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import Outcome
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.answer import answered
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.vehicles.present import show_vehicle
from torqueaudit.workshop.vehicles.visits import arrive

OPENED = "2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2\n"


def understood(workshop: Workshop, line: str) -> str:
    """What the last act of a card was understood as."""
    before = workshop.book.head().sequence
    play(workshop, line)
    entries = [entry for entry, _ in workshop.book.ledger(before + 1)]
    return answered(workshop, "1", entries)[1].says


# U of a wrench without a certificate, permissible deviation 4 %: 2 · 4 % / √3 = 4.6 % (JCGM 100:2008, 4.3.7), and with
# an adapter what its length is known to.
SAID = [
    ("rear-axle-nut 108 N·m with W-2", "rear axle nut: 108.0 N·m ± 5.0 N·m (W-2 at 108 N·m), in"),
    ("rear-axle-nut 121 N·m with W-2", "rear axle nut: 121.0 N·m ± 5.6 N·m (W-2 at 121 N·m), out"),
    (
        "sprocket-nut 89 N·m with W-1 adapter 60@0",
        "front sprocket nut: 99.7 N·m ± 4.6 N·m (W-1 at 89 N·m, adapter 60 mm at 0°), in",
    ),
    ("caliper-bolt 30 N·m with W-2 then 45°", "caliper bolt: 30.0 N·m ± 1.4 N·m + 45° (W-2 at 30 N·m), not judged"),
    ("disc-bolt 22 N·m with W-1 did not reach torque", "disc bolt: did not reach torque (W-1 at 22 N·m)"),
    ("disc-bolt no torque wrench fits", "disc bolt: no torque wrench fits"),
    ("sprocket-bolt-3 loosened: slipped", "sprocket bolt 3 of 5: loosened"),
    ("sprocket-bolt loosened: slipped", "sprocket bolt 1 to 5: loosened"),
    ("slack measured 37 mm at mid-span", "chain slack: 37 mm (mid-span)"),
    ("tab-washer fitted washer 18 mm lot L-7", "tab washer: washer 18 mm, lot L-7, new"),
    ("bike-secured yes", "motorcycle secured: yes"),
]


@pytest.mark.parametrize(("line", "says"), SAID)
def test_an_act_says_what_it_was_understood_as(workshop: Workshop, line: str, says: str) -> None:
    assert says == understood(workshop, f"{OPENED}2031-04-02 10:05 {line} by P-2")


def test_each_bolt_of_a_group_says_how_far_the_group_has_come(workshop: Workshop) -> None:
    """Crosswise 1-3-5-2-4, first to a third and then to the torque."""
    play(workshop, OPENED)
    passes = [(stage, torque, number) for stage, torque in ((1, 15), (2, 50)) for number in (1, 3, 5, 2, 4)]
    lines = [
        f"2031-04-02 10:{minute} sprocket-bolt-{number} stage {stage} {torque} N·m with W-1 by P-2"
        for minute, (stage, torque, number) in enumerate(passes, start=10)
    ]
    said = [understood(workshop, line).partition("; ")[2] for line in lines]

    assert [
        "stage 1 of 2: 1 of 5 done, next: sprocket bolt 3",
        "stage 1 of 2: 2 of 5 done, next: sprocket bolt 5",
        "stage 1 of 2: 3 of 5 done, next: sprocket bolt 2",
        "stage 1 of 2: 4 of 5 done, next: sprocket bolt 4",
        "stage 1 of 2: all 5 done",
    ] == said[:5]
    assert ["stage 2 of 2: 4 of 5 done, next: sprocket bolt 4", "stage 2 of 2: all 5 done"] == said[-2:]


def test_a_group_told_at_once_is_one_sentence_and_another_outcome_one_more(workshop: Workshop) -> None:
    said = understood(workshop, f"{OPENED}2031-04-02 10:05 sprocket-bolt stage 1 15 N·m with W-1 by P-2")
    other = understood(workshop, "2031-04-02 10:06 sprocket-bolt 50 N·m with W-1 but 3 did not reach torque by P-2")

    assert "sprocket bolt 1 to 5: 15.00 N·m ± 0.69 N·m (W-1 at 15 N·m); stage 1 of 2" == said
    assert (
        "sprocket bolt 1, 2, 4, 5: 50.0 N·m ± 2.3 N·m (W-1 at 50 N·m), in; "
        "sprocket bolt 3 of 5: did not reach torque (W-1 at 50 N·m); stage 2 of 2"
    ) == other


def test_marks_checks_and_what_comes_after_the_work_are_said_back(workshop: Workshop) -> None:
    play(
        workshop,
        """
        2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
        2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
        """,
    )
    expected = {
        "2031-04-02 10:06 rear-axle-nut mark intact by P-2": "rear axle nut: mark intact",
        "2031-04-02 10:09 rear-axle-nut checked mark seen by P-3": "rear axle nut: checked by P-3 (mark seen)",
        "2031-04-02 10:15 released by P-1": "signed by P-1, for all that was recorded of it until then",
        "2031-04-02 10:20 handed over at 12010 km by P-1": (
            "left at 12010 km; re-check due by 2031-04-16 or at 12110 km, whichever comes first"
        ),
        "2031-04-03 10:20 ridden to 12040 km by owner": "ridden to 12040 km",
        "2031-04-04 10:20 rear-axle-nut mark intact by P-2": "rear axle nut: mark intact",
        "2031-04-04 10:30 re-checked at 12100 km by P-2": "re-check concluded at 12100 km",
    }

    said = {line: understood(workshop, line) for line in expected}

    assert expected == {line: says.partition("#")[0] + "#" * ("#" in says) for line, says in said.items()}


def test_a_strike_says_what_it_took_away(workshop: Workshop) -> None:
    """The number alone tells nobody that it was the wrong one."""
    play(workshop, f"{OPENED}2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2")
    entry = workshop.book.head().sequence
    struck = strike(workshop, "1", entry, "wrong nut", Say("P-2"))

    assert f"struck (#{entry}): rear axle nut: 108.0 N·m ± 5.0 N·m (W-1 at 108 N·m), in" == (
        answered(workshop, "1", struck)[1].says
    )


def test_an_act_sent_again_says_the_same_and_after_its_strike_that_it_was_struck(
    workshop: Workshop, clock: Clock
) -> None:
    play(workshop, OPENED)
    clock.set("2031-04-02 10:05")
    said = Tighten(Outcome.TURNED_CLICKED, "W-1", "108 N·m")
    first, again = (tighten(workshop, "1", "rear-axle-nut", said, Say("P-2", id="phone-1")) for _ in range(2))
    entry = first[0].sequence

    assert answered(workshop, "1", first) == answered(workshop, "1", again)
    strike(workshop, "1", entry, "wrong nut", Say("P-2"))
    assert f"recorded before as #{entry}, and struck since" == answered(workshop, "1", again)[1].says


LEFT = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
"""


def test_a_hand_over_says_that_nobody_released_it_or_signed_what_was_done_since(workshop: Workshop) -> None:
    """Whoever lets it go reads it at once, and not in the report of the night."""
    play(workshop, LEFT)
    never = understood(workshop, "2031-04-02 10:20 job 1 handed over at 12010 km by P-1")
    play(
        workshop,
        """
        2031-04-02 10:30 V-1 arrived at 12011 km by P-1
        2031-04-02 10:31 job 1 released by P-1
        2031-04-02 10:32 rear-axle-nut loosened: to look at it by P-2
        2031-04-02 10:35 rear-axle-nut 108 N·m with W-1 by P-2
        2031-04-02 10:36 rear-axle-nut mark intact by P-2
        2031-04-02 10:37 rear-axle-nut checked watched by P-3
        """,
    )
    since = understood(workshop, "2031-04-02 10:50 job 1 handed over at 12012 km by P-1")

    assert never.endswith("whichever comes first. NOBODY HAS RELEASED IT")
    assert since.endswith(". NOBODY HAS SIGNED what was done since the release: rear axle nut")


def test_a_head_is_written_down_where_a_record_shows_it_and_not_by_an_act(played: Workshop) -> None:
    """An act on a job answers without one, so there is none to hold against the book later.

    2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
    """
    before = newest(played.book.path)
    view, _ = answered(played, "1", strike(played, "1", played.book.head().sequence, "the wrong one", Say("P-1")))
    after = newest(played.book.path)

    assert (None, None, str(played.book.head())) == (before, after, view.book.head)
    assert show_job(played, "1").book.head == str(newest(played.book.path))
    arrive(played, "V-1", 12_100_000, Say("P-1"))
    assert show_vehicle(played, "V-1").book.head == str(newest(played.book.path)) == str(played.book.head())
