"""Rules on steps, measurements and parts: each once where it speaks and once where it is silent."""

from torqueaudit.testing import findings
from torqueaudit.workshop.workshop import Workshop


def test_an_optional_step_answered_no_is_a_caution(played: Workshop) -> None:
    """It was not required, and somebody looked and said no.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 bike-secured yes by P-2
    2031-04-02 10:02 test-ride no: raining by P-2
    """
    expected = ["test ride: answered no (raining). Ride round the yard."]
    actual = findings(played, rule="step-not-done")

    assert expected == actual


def test_a_required_step_not_done_stops(played: Workshop) -> None:
    """The motorcycle is tied down first.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    """
    expected = ["motorcycle secured: not done. Tie it down."]
    actual = findings(played, rule="step-not-done")

    assert expected == actual


def test_a_step_done_is_silent(played: Workshop) -> None:
    """An optional one may stay without an answer.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 bike-secured yes by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="step-not-done")

    assert expected == actual


def test_a_brake_not_tried_stops(played: Workshop) -> None:
    """Nobody rides before the brake was tried.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    """
    expected = [
        "rear brake tried: not done. Push it and stop it with the rear brake alone.",
    ]
    actual = findings(played, rule="brake-not-proved")

    assert expected == actual


def test_a_brake_that_failed_stops(played: Workshop) -> None:
    """Tried, and it did not hold.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 brake-tried no: pedal soft by P-2
    """
    expected = [
        "rear brake tried: answered no (pedal soft). Push it and stop it with the rear brake alone.",
    ]
    actual = findings(played, rule="brake-not-proved")

    assert expected == actual


def test_a_brake_is_never_not_applicable(played: Workshop) -> None:
    """The step that proves the brake cannot be talked away.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 brake-tried not applicable by P-2
    """
    expected = [
        (
            "rear brake tried: called not applicable, but it is what proves the brake. Push it and stop it "
            "with the rear brake alone."
        ),
    ]
    actual = findings(played, rule="brake-not-proved")

    assert expected == actual


def test_a_brake_that_held_is_silent(played: Workshop) -> None:
    """Tried, and it held.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 brake-tried yes by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="brake-not-proved")

    assert expected == actual


def test_a_measurement_not_taken_stops(played: Workshop) -> None:
    """What is to be measured is measured, with limits or without.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    """
    expected = [
        "chain slack: not measured.",
        "chain wear: not measured.",
    ]
    actual = findings(played, rule="measurement-missing")

    assert expected == actual


def test_measurements_taken_are_not_missing(played: Workshop) -> None:
    """Both were taken.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 25 mm by P-2
    2031-04-02 10:02 wear measured 0.4 mm by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="measurement-missing")

    assert expected == actual


def test_a_measurement_outside_its_limits_stops(played: Workshop) -> None:
    """The last value counts.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 25 mm by P-2
    2031-04-02 10:02 slack measured 38 mm by P-2
    """
    expected = [
        "chain slack: 38 mm; 20 … 30 mm is specified. Set it right and measure again.",
    ]
    actual = findings(played, rule="measurement-outside")

    assert expected == actual


def test_a_measurement_at_its_limit_is_inside(played: Workshop) -> None:
    """Limits belong to what is specified.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 38 mm by P-2
    2031-04-02 10:02 slack measured 30 mm by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="measurement-outside")

    assert expected == actual


def test_a_measurement_without_limits_is_a_note(played: Workshop) -> None:
    """The source states none, so none is judged.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 wear measured 0.4 mm by P-2
    """
    expected = [
        "chain wear: 0.4 mm, measured and not judged: the source states no limit.",
    ]
    actual = findings(played, rule="measurement-not-judged")

    assert expected == actual


def test_a_measurement_with_limits_is_judged(played: Workshop) -> None:
    """No note where there are limits.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 25 mm by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="measurement-not-judged")

    assert expected == actual


def test_a_part_nobody_fitted_stops(played: Workshop) -> None:
    """What goes in is written down.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    """
    expected = [
        "tab washer: nothing fitted is recorded (tab washer of the front sprocket nut).",
    ]
    actual = findings(played, rule="part-missing")

    assert expected == actual


def test_a_part_fitted_is_silent(played: Workshop) -> None:
    """Written down.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="part-missing")

    assert expected == actual


def test_a_locking_part_used_again_stops(played: Workshop) -> None:
    """It holds once only.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted used washer by P-2
    2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
    """
    expected = [
        "tab washer: used again. It holds once only; fit a new one.",
        (
            "front sprocket nut: no new tab washer was fitted before this "
            "tightening. Loosen it, fit a new one, tighten again."
        ),
    ]
    actual = findings(played, rule="locking-part-reused")

    assert expected == actual


def test_a_locking_part_does_not_outlive_a_loosening(played: Workshop) -> None:
    """The nut was undone after the washer was fitted: it has been bent once.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:03 sprocket-nut loosened: cover forgotten by P-2
    2031-04-02 10:04 sprocket-nut 100 N·m with W-1 by P-2
    """
    expected = [
        (
            "front sprocket nut: no new tab washer was fitted before this "
            "tightening. Loosen it, fit a new one, tighten again."
        ),
    ]
    actual = findings(played, rule="locking-part-reused")

    assert expected == actual


def test_a_new_locking_part_is_silent(played: Workshop) -> None:
    """A new one for the tightening that stands.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="locking-part-reused")

    assert expected == actual


def test_threadlocker_needs_its_time(played: Workshop) -> None:
    """No ride before it has cured.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 disc-bolt 22 N·m with W-1 by P-2
    """
    expected = [
        "disc bolt: the threadlocker has not cured. No ride before 2031-04-03 10:01.",
    ]
    actual = findings(played, rule="threadlocker-not-cured")

    assert expected == actual


def test_threadlocker_that_had_its_time_is_silent(played: Workshop) -> None:
    """A day later.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 disc-bolt 22 N·m with W-1 by P-2
    2031-04-03 10:01 clock
    """
    expected: list[str] = []
    actual = findings(played, rule="threadlocker-not-cured")

    assert expected == actual


def test_threadlocker_needs_its_time_on_the_road_too(played: Workshop) -> None:
    """A vehicle that left before it had cured is called, and no longer once it has.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 disc-bolt 22 N·m with W-1 by P-2
    2031-04-02 10:30 handed over at 12000 km by P-2
    """
    expected = ["disc bolt: the threadlocker has not cured. No ride before 2031-04-03 10:01."]
    actual = findings(played, rule="threadlocker-not-cured")

    assert expected == actual
