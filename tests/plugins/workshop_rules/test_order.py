"""Rules on the order of the work: each once where it speaks and once where it is silent."""

from collections.abc import Callable

import pytest

from torqueaudit.cli.command import commands_of
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job


def test_a_nut_tightened_before_what_comes_first_is_too_early(played: Workshop) -> None:
    """Everything missing stands in one finding, so that one concession covers it knowingly.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected = [
        (
            "rear axle nut: had its final torque before “front sprocket nut” and “chain slack” was done. "
            "Loosen it, do that first, tighten again."
        ),
    ]
    actual = findings(played, rule="workshop_rules/too-early")

    assert expected == actual


def test_a_nut_tightened_in_order_is_not_too_early(played: Workshop) -> None:
    """Slack and sprocket nut first.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:03 slack measured 37 mm by P-2
    2031-04-02 10:04 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/too-early")

    assert expected == actual


def test_what_was_undone_again_does_not_come_first(played: Workshop) -> None:
    """A sprocket nut that was loose at that moment had not come first.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:03 sprocket-nut loosened: washer bent by P-2
    2031-04-02 10:04 slack measured 37 mm by P-2
    2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:06 tab-washer fitted washer by P-2
    2031-04-02 10:07 sprocket-nut 100 N·m with W-1 by P-2
    """
    expected = [
        (
            "rear axle nut: had its final torque before “front sprocket nut” was done. Loosen it, do that "
            "first, tighten again."
        ),
    ]
    actual = findings(played, rule="workshop_rules/too-early")

    assert expected == actual


def test_a_step_answered_no_does_not_come_first(played: Workshop) -> None:
    """The last answer before the torque counts.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 bike-secured yes by P-2
    2031-04-02 10:02 bike-secured no by P-2
    2031-04-02 10:03 sprocket-bolt stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:04 sprocket-bolt stage 2 50 N·m with W-1 by P-2
    """
    expected = [
        (
            "sprocket bolt: had its final torque before “motorcycle secured” was done. Loosen it, do that "
            "first, tighten again."
        ),
    ]
    actual = findings(played, rule="workshop_rules/too-early")

    assert expected == actual


def test_late_telling_does_not_change_the_order_of_the_work(played: Workshop) -> None:
    """Told afterwards and done before is done before.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:20 tab-washer fitted washer by P-2
    2031-04-02 10:21 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:40 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:30 slack measured 37 mm by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/too-early")

    assert expected == actual


def test_a_stage_left_out_stops(played: Workshop) -> None:
    """Straight to the full torque pulls the sprocket askew.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-bolt 50 N·m with W-1 by P-2
    """
    expected = [
        (
            "sprocket bolt 1: a stage was left out (30 %, 100 % are asked for). Loosen the group and go "
            "through the stages."
        ),
        (
            "sprocket bolt 2: a stage was left out (30 %, 100 % are asked for). Loosen the group and go "
            "through the stages."
        ),
        (
            "sprocket bolt 3: a stage was left out (30 %, 100 % are asked for). Loosen the group and go "
            "through the stages."
        ),
        (
            "sprocket bolt 4: a stage was left out (30 %, 100 % are asked for). Loosen the group and go "
            "through the stages."
        ),
        (
            "sprocket bolt 5: a stage was left out (30 %, 100 % are asked for). Loosen the group and go "
            "through the stages."
        ),
    ]
    actual = findings(played, rule="workshop_rules/stage-left-out")

    assert expected == actual


def test_every_stage_gone_through_is_silent(played: Workshop) -> None:
    """Both stages, in the pattern.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-bolt stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:02 sprocket-bolt stage 2 50 N·m with W-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/stage-left-out")

    assert expected == actual


def test_a_broken_pattern_is_a_caution(played: Workshop) -> None:
    """Round the circle is not crosswise.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-bolt-1 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:02 sprocket-bolt-2 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:03 sprocket-bolt-3 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:04 sprocket-bolt-4 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:05 sprocket-bolt-5 stage 1 15 N·m with W-2 by P-2
    """
    expected = [
        "sprocket bolt: stage 1 did not go round crosswise (1-3-5-2-4). Go round once more in that order.",
    ]
    actual = findings(played, rule="workshop_rules/pattern-broken")

    assert expected == actual


def test_going_round_once_more_answers_a_broken_pattern(played: Workshop) -> None:
    """What the caution asks for takes it away.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-bolt-1 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:02 sprocket-bolt-2 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:03 sprocket-bolt-3 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:04 sprocket-bolt-4 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:05 sprocket-bolt-5 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:06 sprocket-bolt stage 1 15 N·m with W-2 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/pattern-broken")

    assert expected == actual


def test_one_bolt_done_again_breaks_no_earlier_round(played: Workshop) -> None:
    """Only the last stage goes round again: each bolt has to hold beside its neighbours.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-bolt stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:02 sprocket-bolt stage 2 50 N·m with W-1 by P-2
    2031-04-02 10:03 sprocket-bolt-2 loosened: washer forgotten by P-2
    2031-04-02 10:04 sprocket-bolt-2 stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:05 sprocket-bolt-2 stage 2 50 N·m with W-1 by P-2
    """
    expected = [DONE_ALONE.format(2)]
    actual = findings(played, rule="workshop_rules/done-again-alone")

    assert expected == actual
    assert [] == findings(played, rule="workshop_rules/pattern-broken")


GROUP = """
2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
2031-04-02 10:01 bike-secured yes by P-2
2031-04-02 10:02 sprocket-bolt stage 1 15 N·m with W-1 by P-2
2031-04-02 10:03 sprocket-bolt 50 N·m with W-1 by P-2
"""
DONE_ALONE = (
    "sprocket bolt {}: done again while the others of the group stood tight, so they carry another load now. Go round "
    "all of them once more at 47 … 53 N·m crosswise (1-3-5-2-4)."
)


def of_the_group(workshop: Workshop, card: str) -> list[str]:
    """Whatever is said of the sprocket bolts, stops and cautions."""
    play(workshop, GROUP + card)
    return [each for each in findings(workshop) if each.startswith("sprocket bolt")]


@pytest.mark.parametrize(
    "again",
    [
        "2031-04-02 10:11 sprocket-bolt-3 50 N·m with W-1 by P-2",
        """2031-04-02 10:11 sprocket-bolt-3 stage 1 15 N·m with W-1 by P-2
        2031-04-02 10:12 sprocket-bolt-3 50 N·m with W-1 by P-2""",
    ],
    ids=["at once", "through its stages"],
)
def test_of_one_bolt_done_again_one_thing_is_said(workshop: Workshop, again: str) -> None:
    """The others hold the part, and no stage is missed; they took its load (common practice, no source)."""
    loosened = "2031-04-02 10:10 sprocket-bolt-3 loosened: bent by P-2"

    assert [DONE_ALONE.format(3)] == of_the_group(workshop, f"{loosened}\n{again}")


@pytest.mark.parametrize(
    "passes",
    [
        ["sprocket-bolt 50 N·m with W-1"],
        ["sprocket-bolt 50 N·m with W-1 clicked without turning"],
        [f"sprocket-bolt-{number} 50 N·m with W-1 clicked without turning" for number in (1, 3, 5, 2, 4)],
    ],
    ids=["turned", "clicked", "one by one"],
)
def test_going_round_once_more_answers_it(workshop: Workshop, passes: list[str]) -> None:
    """Also where none of them turned any more, as it should be."""
    again = ["sprocket-bolt-3 loosened: bent", "sprocket-bolt-3 50 N·m with W-1", *passes]
    card = [f"2031-04-02 10:{minute} {line} by P-2" for minute, line in enumerate(again, start=20)]

    assert [] == of_the_group(workshop, "\n".join(card))


def test_two_bolts_loose_at_once_let_the_part_go_and_the_group_is_loosened(workshop: Workshop) -> None:
    """Then the stages are there to bring it to its seat; nothing is gone round before that."""
    card = """
    2031-04-02 10:10 sprocket-bolt-3 loosened: bent by P-2
    2031-04-02 10:11 sprocket-bolt-1 loosened: bent by P-2
    2031-04-02 10:12 sprocket-bolt-3 50 N·m with W-1 by P-2
    2031-04-02 10:13 sprocket-bolt-1 50 N·m with W-1 by P-2
    """
    says = "a stage was left out (30 %, 100 % are asked for). Loosen the group and go through the stages."

    assert [f"sprocket bolt 1: {says}", f"sprocket bolt 3: {says}"] == of_the_group(workshop, card)


def test_a_bolt_told_again_at_less_is_loosened_before_anything_is_gone_round(workshop: Workshop) -> None:
    """The stop says what to do; that the round is broken would say another thing."""
    told = of_the_group(workshop, "2031-04-02 10:10 sprocket-bolt-3 47 N·m with W-1 by P-2")

    assert ["sprocket bolt 3: recorded at 50 N·m and again at 47 N·m with no loosening between."] == [
        each.partition(" One of")[0] for each in told
    ]


def test_trying_one_bolt_breaks_no_pattern(played: Workshop) -> None:
    """A bolt that clicked without turning did not move.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-bolt stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:02 sprocket-bolt stage 2 50 N·m with W-1 by P-2
    2031-04-02 10:03 sprocket-bolt-3 50 N·m with W-1 clicked without turning by P-3
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/pattern-broken")

    assert expected == actual


def test_slack_not_taken_again_after_the_nut_stops(played: Workshop) -> None:
    """The nut pulls the axle; what was measured before it says nothing of that.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 37 mm by P-2
    2031-04-02 10:02 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected = [
        "chain slack: not taken again after the rear axle nut had its torque. Measure it again.",
    ]
    actual = findings(played, rule="workshop_rules/not-measured-again")

    assert expected == actual


def test_slack_taken_again_is_silent(played: Workshop) -> None:
    """Measured after the nut; a later click without turning moves nothing.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 37 mm by P-2
    2031-04-02 10:02 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:03 slack measured 36 mm by P-2
    2031-04-02 10:04 rear-axle-nut 108 N·m with W-1 clicked without turning by P-3
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/not-measured-again")

    assert expected == actual


def test_slack_is_asked_for_again_once_whichever_nut_made_it_due(
    workshop: Workshop, enter: Callable[..., None]
) -> None:
    """One sentence for all of them, and its place is after the last."""
    enter(SLACK)
    play(workshop, SET)

    expected = ["chain slack: not taken again after the axle nut and the lock nut had their torque. Measure it again."]
    assert expected == findings(workshop, rule="workshop_rules/not-measured-again")
    assert ("measure chain slack again, after lock nut", "wheel turns free") == show_job(workshop, "1").next
    assert (
        'torqueaudit measurement take 1 slack "… mm"',
        "torqueaudit step done 1 wheel-free yes",
    ) == tuple(commands_of(show_job(workshop, "1")))


def test_another_pass_does_not_bring_a_nut_into_its_place(played: Workshop) -> None:
    """It stood tight before the slack was set; turning it once more moves no axle.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:03 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:04 slack measured 37 mm by P-2
    2031-04-02 10:05 rear-axle-nut 108 N·m with W-1, again by P-2
    """
    early = (
        "rear axle nut: had its final torque before “chain slack” was done. Loosen it, do that first, tighten again."
    )
    assert [early] == findings(played, rule="workshop_rules/too-early", weight="stop")

    play(
        played,
        """
        2031-04-02 10:06 job 1 rear-axle-nut loosened: slack set by P-2
        2031-04-02 10:07 job 1 rear-axle-nut 108 N·m with W-1 by P-2
        """,
    )
    assert [] == findings(played, rule="workshop_rules/too-early")


TORQUE = """
torque = "100 N·m"
tolerance = "10 %"
source = "manual"
page = "1"
"""
SLACK = f"""
[[work]]
measure = "slack"
name = "chain slack"
unit = "mm"
again_after = ["axle-nut", "lock-nut"]
[[work]]
tighten = "axle-nut"
name = "axle nut"{TORQUE}
[[work]]
tighten = "lock-nut"
name = "lock nut"{TORQUE}
[[work]]
step = "wheel-free"
name = "wheel turns free"
says = "Turn it."
"""
SET = """
2031-04-02 10:00 job 1 opened drive on V-1 by P-2
2031-04-02 10:01 slack measured 37 mm by P-2
2031-04-02 10:02 axle-nut 100 N·m with W-1 by P-2
2031-04-02 10:03 lock-nut 100 N·m with W-1 by P-2
"""
COVERED = f"""
[[work]]
tighten = "nut"
name = "sprocket nut"
mark = true
check = true{TORQUE}
[[work]]
step = "cover-on"
name = "cover on"
says = "Now the cover."
after = ["nut"]
covers = ["nut"]
"""
TIGHT = "nut 100 N·m with W-1 by P-2"
MARKED = "nut mark intact by P-2"
CHECKED = "nut checked watched by P-3"
COVER = "cover-on yes by P-2"


@pytest.mark.parametrize(
    ("lines", "missing"),
    [
        ([TIGHT, MARKED, CHECKED, COVER], ""),
        ([TIGHT, COVER], "marked and checked"),
        ([TIGHT, MARKED, COVER], "checked"),
        ([TIGHT, CHECKED, COVER], "marked"),
        ([COVER], "tightened, marked and checked"),
        ([TIGHT, COVER, MARKED, CHECKED], "marked and checked"),
        ([COVER, TIGHT, MARKED, CHECKED], "tightened, marked and checked"),
        ([TIGHT, COVER, MARKED, CHECKED, COVER], ""),
        ([TIGHT, MARKED, CHECKED, COVER, MARKED], ""),
        (
            [TIGHT, MARKED, CHECKED, COVER, "nut loosened: again by P-2", TIGHT, MARKED, CHECKED],
            "tightened, marked and checked",
        ),
        ([TIGHT, "cover-on no: bent by P-2"], ""),
    ],
)
def test_what_covers_a_nut_goes_on_after_its_mark_and_check(
    workshop: Workshop, enter: Callable[..., None], lines: list[str], missing: str
) -> None:
    """A mark or check told afterwards was made through the cover: only putting it on again heals it."""
    enter(COVERED)
    acts = [f"2031-04-02 10:{minute:02} {line}" for minute, line in enumerate(lines, start=1)]
    play(workshop, "\n".join(["2031-04-02 10:00 job 1 opened drive on V-1 by P-2", *acts]))
    undo = "Take it off, mark and check it, put it on again."
    says = f"cover on: sprocket nut was not yet {missing} when it went on. {undo}"

    assert [says] * bool(missing) == findings(workshop, rule="workshop_rules/covered-too-early", weight="stop")
    assert [] == findings(workshop, rule="workshop_rules/step-too-early")


def test_a_cover_that_is_on_too_early_comes_next_again(workshop: Workshop, enter: Callable[..., None]) -> None:
    """After what it hid."""
    enter(COVERED)
    play(
        workshop,
        f"2031-04-02 10:00 job 1 opened drive on V-1 by P-2\n2031-04-02 10:01 {TIGHT}\n2031-04-02 10:02 {COVER}",
    )
    view = show_job(workshop, "1")

    assert ["mark sprocket nut", *findings(workshop, rule="workshop_rules/covered-too-early")] == list(view.next)
    assert ("torqueaudit fastener mark 1 nut intact", "torqueaudit step done 1 cover-on yes") == tuple(
        commands_of(view)
    )
