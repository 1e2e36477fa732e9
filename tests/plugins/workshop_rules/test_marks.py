"""Rules on witness marks: each once where it speaks and once where it is silent."""

from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job


def test_a_nut_without_a_mark_stops(played: Workshop) -> None:
    """What is to be marked and is not.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected = [
        "rear axle nut: not marked. Paint a line across fastener and part, and record it.",
    ]
    actual = findings(played, rule="workshop_rules/not-marked")

    assert expected == actual


def test_a_new_tightening_wants_a_new_mark(played: Workshop) -> None:
    """The old line belongs to the tightening it was painted on.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark intact by P-2
    2031-04-02 10:03 rear-axle-nut 108 N·m with W-1, again by P-2
    """
    expected = [
        "rear axle nut: not marked. Paint a line across fastener and part, and record it.",
    ]
    actual = findings(played, rule="workshop_rules/not-marked")

    assert expected == actual


def test_a_marked_nut_is_silent(played: Workshop) -> None:
    """One line, and a click that moved nothing.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark intact by P-2
    2031-04-02 10:03 rear-axle-nut 108 N·m with W-1 clicked without turning by P-3
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/not-marked")

    assert expected == actual


def test_a_disturbed_mark_stops(played: Workshop) -> None:
    """Something has turned.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark intact by P-2
    2031-04-02 10:03 rear-axle-nut mark disturbed by P-3
    """
    expected = [
        (
            "rear axle nut: the witness mark is disturbed. Photograph it and look before "
            "touching, then loosen and inspect"
        ),
    ]
    actual = findings(played, rule="workshop_rules/mark-disturbed")

    assert expected == actual


def test_a_disturbed_mark_is_not_painted_over(played: Workshop) -> None:
    """A fresh line on the same tightening answers nothing.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark disturbed by P-3
    2031-04-02 10:03 rear-axle-nut mark intact by P-2
    """
    expected = [
        (
            "rear axle nut: the witness mark is disturbed. Photograph it and look before "
            "touching, then loosen and inspect"
        ),
    ]
    actual = findings(played, rule="workshop_rules/mark-disturbed")

    assert expected == actual


def test_a_disturbed_mark_is_answered_by_tightening_anew(played: Workshop) -> None:
    """Loosened, looked at, tightened, marked.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark disturbed by P-3
    2031-04-02 10:03 rear-axle-nut loosened: mark disturbed by P-3
    2031-04-02 10:04 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:05 rear-axle-nut mark intact by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/mark-disturbed")

    assert expected == actual


def test_a_disturbed_mark_said_by_mistake_is_struck(played: Workshop) -> None:
    """A strike with its reason takes it back.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark intact by P-2
    2031-04-02 10:03 rear-axle-nut mark disturbed by P-3
    2031-04-02 10:04 line 4 struck: looked at the wrong nut by P-3
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/mark-disturbed")

    assert expected == actual


def test_an_unreadable_mark_stops(played: Workshop) -> None:
    """It proves nothing.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark unreadable by P-3
    """
    expected = [
        (
            "rear axle nut: the witness mark is unreadable, so it proves nothing. Look closely; remove the "
            "old paint and mark anew once the joint is proved."
        ),
    ]
    actual = findings(played, rule="workshop_rules/mark-unreadable")

    assert expected == actual


def test_an_unreadable_mark_made_anew_is_silent(played: Workshop) -> None:
    """Painted anew once the joint was proved.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark unreadable by P-3
    2031-04-02 10:03 rear-axle-nut mark intact by P-3
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/mark-unreadable")

    assert expected == actual


def test_a_mark_not_seen_stops(played: Workshop) -> None:
    """Not seen is not intact.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark not seen: under the cover by P-3
    """
    expected = [
        "rear axle nut: the witness mark was not seen (under the cover). Uncover it and look.",
    ]
    actual = findings(played, rule="workshop_rules/mark-not-seen")

    assert expected == actual


def test_a_mark_seen_after_all_is_silent(played: Workshop) -> None:
    """Uncovered and looked at.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark not seen: under the cover by P-3
    2031-04-02 10:03 rear-axle-nut mark intact by P-3
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/mark-not-seen")

    assert expected == actual


BROKEN = """
2031-04-02 10:00 job 1 opened axle on V-1 by P-2
2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:02 rear-axle-nut mark intact by P-2
2031-04-02 10:30 rear-axle-nut mark disturbed by P-2
"""
OVER = "workshop_rules/tightened-over-disturbed-mark"


def test_a_nut_tightened_over_a_disturbed_mark_stops(workshop: Workshop) -> None:
    """Nobody saw why it had turned; a torque over it proves nothing. Common practice, no source."""
    play(workshop, f"{BROKEN}2031-04-02 10:35 rear-axle-nut 108 N·m with W-1, again by P-2")
    (said,) = findings(workshop, rule=OVER, weight="stop")

    assert said.startswith("rear axle nut: its witness mark was disturbed (#")
    assert said.endswith("Loosen it, inspect joint and thread, and tighten again.")


def test_a_mark_once_disturbed_stays_so_whatever_is_said_of_it_before_the_nut_is_tightened(workshop: Workshop) -> None:
    """Neither “intact” nor a fresh line lets a torque over it pass, nor a mark on that torque and one more torque."""
    play(workshop, f"{BROKEN}2031-04-02 10:31 rear-axle-nut mark intact by P-2")
    play(workshop, "2031-04-02 10:35 rear-axle-nut 108 N·m with W-1, again by P-2")
    over = findings(workshop, rule=OVER, weight="stop")
    play(workshop, "2031-04-02 10:36 rear-axle-nut mark intact by P-2")
    play(workshop, "2031-04-02 10:37 rear-axle-nut 108 N·m with W-1, again by P-2")

    assert [1, 1] == [len(over), len(findings(workshop, rule=OVER, weight="stop"))]


def test_a_nut_loosened_after_its_mark_was_disturbed_is_answered(workshop: Workshop) -> None:
    """Undone, looked at, tightened."""
    play(
        workshop,
        f"""{BROKEN}
        2031-04-02 10:33 rear-axle-nut loosened: to inspect it by P-2
        2031-04-02 10:35 rear-axle-nut 108 N·m with W-1 by P-2
        """,
    )

    assert [] == findings(workshop, rule=OVER)


def test_a_job_that_follows_takes_over_the_disturbed_mark(workshop: Workshop) -> None:
    """It is carried over, and a torque over it stops there as well, until the nut is loosened."""
    play(workshop, f"{BROKEN}2031-04-03 10:00 job 2 opened axle on V-1 after job 1 by P-2")
    follows = show_job(workshop, "2").follows
    play(workshop, "2031-04-03 10:05 job 2 rear-axle-nut 108 N·m with W-1 by P-2")
    over = findings(workshop, "2", rule=OVER, weight="stop")
    play(workshop, "2031-04-03 10:06 job 2 rear-axle-nut loosened: to inspect it by P-2")
    play(workshop, "2031-04-03 10:08 job 2 rear-axle-nut 108 N·m with W-1 by P-2")

    assert ("rear axle nut: its witness mark is disturbed.",) == (follows and follows.carried)
    assert [len(over), len(findings(workshop, "2", rule=OVER))] == [1, 0]
