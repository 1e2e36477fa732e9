"""Rules on the record itself: each once where it speaks and once where it is silent."""

from torqueaudit.testing import findings
from torqueaudit.workshop.door.workshop import Workshop


def test_a_vehicle_the_source_does_not_hold_for_stops(played: Workshop) -> None:
    """The manual is another model's.

    2031-04-02 10:00 job 1 opened axle on V-3 by P-2
    """
    expected = [
        (
            "bike-3: Kestrel 500 manual holds for the Kestrel 500, and this is a Merlin 700. Use a source "
            "that holds for this vehicle."
        ),
    ]
    actual = findings(played, rule="workshop_rules/outside-validity")

    assert expected == actual


def test_a_vehicle_the_source_holds_for_is_silent(played: Workshop) -> None:
    """Model and year are the manual's.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/outside-validity")

    assert expected == actual


def test_a_procedure_read_against_its_source_is_silent(played: Workshop) -> None:
    """Somebody else read it before.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/procedure-not-read")

    assert expected == actual


def test_a_tightening_told_late_is_noted(played: Workshop) -> None:
    """Told after the shift, from memory.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-03 12:05 clock
    2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected = ["rear axle nut: recorded 26 hours after it happened."]
    actual = findings(played, rule="workshop_rules/late-entry")

    assert expected == actual


def test_a_tightening_told_in_the_shift_is_silent(played: Workshop) -> None:
    """Twelve hours are the workshop's choice as long as it makes no other.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 22:05 clock
    2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/late-entry")

    assert expected == actual


def test_a_strike_after_release_stops(played: Workshop) -> None:
    """The release was given on what no longer counts.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark intact by P-2
    2031-04-02 10:03 rear-axle-nut checked mark seen by P-3
    2031-04-02 10:04 released by P-1
    2031-04-02 10:05 line 2 struck: wrong wrench written by P-1
    """
    expected = [
        (
            "entry 17: struck after release (wrong wrench written). Look at the vehicle; then a foreman "
            "strikes the release and releases it anew."
        ),
    ]
    actual = findings(played, rule="workshop_rules/struck-after-release")

    assert expected == actual


def test_a_strike_before_release_is_silent(played: Workshop) -> None:
    """Put right before anybody relied on it.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 line 2 struck: wrong wrench written by P-1
    2031-04-02 10:03 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:04 rear-axle-nut mark intact by P-2
    2031-04-02 10:05 rear-axle-nut checked mark seen by P-3
    2031-04-02 10:06 released by P-1
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/struck-after-release")

    assert expected == actual


def test_a_release_given_anew_answers_the_strike(played: Workshop) -> None:
    """The foreman struck the release, and gave it again on what counts now.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:02 rear-axle-nut mark intact by P-2
    2031-04-02 10:03 rear-axle-nut checked mark seen by P-3
    2031-04-02 10:04 released by P-1
    2031-04-02 10:05 line 3 struck: told twice by P-1
    2031-04-02 10:06 line 5 struck: record corrected by P-1
    2031-04-02 10:07 rear-axle-nut mark intact by P-2
    2031-04-02 10:08 released by P-1
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/struck-after-release")

    assert expected == actual


def test_a_wrench_out_of_calibration_stops(played: Workshop) -> None:
    """Its last day was the day before yesterday.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-3 by P-2
    """
    expected = [
        "rear axle nut: wrench W-3 was out of calibration on the day (due 2031-03-31). Tighten with one that is in.",
    ]
    actual = findings(played, rule="workshop_rules/wrench-overdue")

    assert expected == actual


def test_tightened_again_with_a_calibrated_wrench_is_silent(played: Workshop) -> None:
    """What the stop asks for takes it away.

    2031-04-02 10:00 job 1 opened axle on V-1 by P-2
    2031-04-02 10:01 rear-axle-nut 108 N·m with W-3 by P-2
    2031-04-02 10:02 rear-axle-nut loosened: wrench out of calibration by P-2
    2031-04-02 10:03 rear-axle-nut 108 N·m with W-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/wrench-overdue")

    assert expected == actual


def test_an_odometer_that_runs_backwards_is_a_caution(played: Workshop) -> None:
    """On the later job, whichever of the two was misread, or where the instrument was exchanged.

    2031-04-02 10:00 job 1 opened axle on V-1 at 31000 km by P-2
    2031-04-03 10:00 job 2 opened axle on V-1 at 30000 km, sure by P-2
    2031-04-03 10:00 job 3 opened axle on V-2 at 500 km by P-2
    """
    expected = ["odometer: 30000 km is lower than the 31000 km of 2031-04-02: look again, or say that it was replaced."]

    assert expected == findings(played, "2", rule="workshop_rules/odometer-lower", weight="caution")
    assert [[], []] == [findings(played, job, rule="workshop_rules/odometer-lower") for job in ("1", "3")]


def test_a_reading_told_late_runs_backwards_where_its_day_does(played: Workshop) -> None:
    """The order of the days counts, not that of the telling.

    2031-04-02 10:00 job 1 opened axle on V-1 at 31000 km by P-2
    2031-04-04 10:00 clock
    2031-04-01 10:00 job 2 opened axle on V-1 at 30000 km by P-2
    """
    assert [[], []] == [findings(played, job, rule="workshop_rules/odometer-lower") for job in ("1", "2")]
