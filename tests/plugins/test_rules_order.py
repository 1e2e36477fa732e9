"""Rules on the order of the work: each once where it speaks and once where it is silent."""

from torqueaudit.testing import findings
from torqueaudit.workshop.workshop import Workshop


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
    actual = findings(played, rule="too-early")

    assert expected == actual


def test_a_nut_tightened_in_order_is_not_too_early(played: Workshop) -> None:
    """Slack and sprocket nut first.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:03 slack measured 25 mm by P-2
    2031-04-02 10:04 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="too-early")

    assert expected == actual


def test_what_was_undone_again_does_not_come_first(played: Workshop) -> None:
    """A sprocket nut that was loose at that moment had not come first.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:03 sprocket-nut loosened: washer bent by P-2
    2031-04-02 10:04 slack measured 25 mm by P-2
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
    actual = findings(played, rule="too-early")

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
    actual = findings(played, rule="too-early")

    assert expected == actual


def test_late_telling_does_not_change_the_order_of_the_work(played: Workshop) -> None:
    """Told afterwards and done before is done before.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:20 tab-washer fitted washer by P-2
    2031-04-02 10:21 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:40 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:30 slack measured 25 mm by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="too-early")

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
    actual = findings(played, rule="stage-left-out")

    assert expected == actual


def test_every_stage_gone_through_is_silent(played: Workshop) -> None:
    """Both stages, in the pattern.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-bolt stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:02 sprocket-bolt stage 2 50 N·m with W-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="stage-left-out")

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
    actual = findings(played, rule="pattern-broken")

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
    actual = findings(played, rule="pattern-broken")

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
    expected = ["sprocket bolt: stage 2 did not go round crosswise (1-3-5-2-4). Go round once more in that order."]
    actual = findings(played, rule="pattern-broken")

    assert expected == actual


def test_trying_one_bolt_breaks_no_pattern(played: Workshop) -> None:
    """A bolt that clicked without turning did not move.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-bolt stage 1 15 N·m with W-2 by P-2
    2031-04-02 10:02 sprocket-bolt stage 2 50 N·m with W-1 by P-2
    2031-04-02 10:03 sprocket-bolt-3 50 N·m with W-1 clicked without turning by P-3
    """
    expected: list[str] = []
    actual = findings(played, rule="pattern-broken")

    assert expected == actual


def test_slack_not_taken_again_after_the_nut_stops(played: Workshop) -> None:
    """The nut pulls the axle; what was measured before it says nothing of that.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 25 mm by P-2
    2031-04-02 10:02 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected = [
        "chain slack: not taken again after the rear axle nut had its torque. Measure it again.",
    ]
    actual = findings(played, rule="not-measured-again")

    assert expected == actual


def test_slack_taken_again_is_silent(played: Workshop) -> None:
    """Measured after the nut; a later click without turning moves nothing.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 25 mm by P-2
    2031-04-02 10:02 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:03 slack measured 24 mm by P-2
    2031-04-02 10:04 rear-axle-nut 108 N·m with W-1 clicked without turning by P-3
    """
    expected: list[str] = []
    actual = findings(played, rule="not-measured-again")

    assert expected == actual
