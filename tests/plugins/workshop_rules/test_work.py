"""Rules on steps, measurements and parts: each once where it speaks and once where it is silent."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.procedures import enter_procedure


def test_an_optional_step_answered_no_is_a_caution(played: Workshop) -> None:
    """It was not required, and somebody looked and said no.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 bike-secured yes by P-2
    2031-04-02 10:02 test-ride no: raining by P-2
    """
    expected = ["test ride: answered no (raining). Ride round the yard."]
    actual = findings(played, rule="workshop_rules/step-not-done")

    assert expected == actual


def test_a_required_step_not_done_stops(played: Workshop) -> None:
    """The motorcycle is tied down first.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    """
    expected = ["motorcycle secured: not done. Tie it down."]
    actual = findings(played, rule="workshop_rules/step-not-done")

    assert expected == actual


def test_a_step_done_is_silent(played: Workshop) -> None:
    """An optional one may stay without an answer.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 bike-secured yes by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/step-not-done")

    assert expected == actual


def test_a_brake_not_tried_stops(played: Workshop) -> None:
    """Nobody rides before the brake was tried.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    """
    expected = [
        "rear brake tried: not done. Push it and stop it with the rear brake alone.",
    ]
    actual = findings(played, rule="workshop_rules/brake-not-proved")

    assert expected == actual


def test_a_brake_that_failed_stops(played: Workshop) -> None:
    """Tried, and it did not hold.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 brake-tried no: pedal soft by P-2
    """
    expected = [
        "rear brake tried: answered no (pedal soft). Push it and stop it with the rear brake alone.",
    ]
    actual = findings(played, rule="workshop_rules/brake-not-proved")

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
    actual = findings(played, rule="workshop_rules/brake-not-proved")

    assert expected == actual


def test_a_brake_that_held_is_silent(played: Workshop) -> None:
    """Tried, and it held.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 brake-tried yes by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/brake-not-proved")

    assert expected == actual


def test_a_measurement_not_taken_stops(played: Workshop) -> None:
    """What is to be measured is measured, with limits or without.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    """
    expected = [
        "chain slack: not measured.",
        "chain wear: not measured.",
    ]
    actual = findings(played, rule="workshop_rules/measurement-missing")

    assert expected == actual


def test_measurements_taken_are_not_missing(played: Workshop) -> None:
    """Both were taken.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 37 mm by P-2
    2031-04-02 10:02 wear measured 0.4 mm by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/measurement-missing")

    assert expected == actual


def test_a_measurement_outside_its_limits_stops(played: Workshop) -> None:
    """The last value counts.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 37 mm by P-2
    2031-04-02 10:02 slack measured 50 mm by P-2
    """
    expected = [
        "chain slack: 50 mm; 32 … 42 mm is specified. Set it right and measure again.",
    ]
    actual = findings(played, rule="workshop_rules/measurement-outside")

    assert expected == actual


def test_a_measurement_at_its_limit_is_inside(played: Workshop) -> None:
    """Limits belong to what is specified.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 50 mm by P-2
    2031-04-02 10:02 slack measured 42 mm by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/measurement-outside")

    assert expected == actual


def test_a_measurement_without_limits_is_a_note(played: Workshop) -> None:
    """The source states none, so none is judged.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 wear measured 0.4 mm by P-2
    """
    expected = [
        "chain wear: 0.4 mm, measured and not judged: the source states no limit.",
    ]
    actual = findings(played, rule="workshop_rules/measurement-not-judged")

    assert expected == actual


def test_a_measurement_with_limits_is_judged(played: Workshop) -> None:
    """No note where there are limits.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 slack measured 37 mm by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/measurement-not-judged")

    assert expected == actual


def test_a_part_nobody_fitted_stops(played: Workshop) -> None:
    """What goes in is written down.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    """
    expected = [
        "tab washer: nothing fitted is recorded (tab washer of the front sprocket nut).",
    ]
    actual = findings(played, rule="workshop_rules/part-missing")

    assert expected == actual


def test_a_part_fitted_is_silent(played: Workshop) -> None:
    """Written down.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/part-missing")

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
    actual = findings(played, rule="workshop_rules/locking-part-reused")

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
    actual = findings(played, rule="workshop_rules/locking-part-reused")

    assert expected == actual


def test_a_new_locking_part_is_silent(played: Workshop) -> None:
    """A new one for the tightening that stands.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 tab-washer fitted washer by P-2
    2031-04-02 10:02 sprocket-nut 100 N·m with W-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/locking-part-reused")

    assert expected == actual


def test_threadlocker_needs_its_time(played: Workshop) -> None:
    """No ride before it has cured.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 disc-bolt 22 N·m with W-1 by P-2
    """
    expected = [
        "disc bolt: the threadlocker has not cured. No ride before 2031-04-03 10:01.",
    ]
    actual = findings(played, rule="workshop_rules/threadlocker-not-cured")

    assert expected == actual


def test_threadlocker_that_had_its_time_is_silent(played: Workshop) -> None:
    """A day later.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 disc-bolt 22 N·m with W-1 by P-2
    2031-04-03 10:01 clock
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/threadlocker-not-cured")

    assert expected == actual


def test_threadlocker_needs_its_time_on_the_road_too(played: Workshop) -> None:
    """A vehicle that left before it had cured is called, and no longer once it has.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 disc-bolt 22 N·m with W-1 by P-2
    2031-04-02 10:30 handed over at 12000 km with stops: fetched at once by P-2
    """
    expected = ["disc bolt: the threadlocker has not cured. No ride before 2031-04-03 10:01."]
    actual = findings(played, rule="workshop_rules/threadlocker-not-cured")

    assert expected == actual


PROVED_FIRST = """2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:02 brake-tried yes by P-2
"""


@pytest.mark.parametrize(
    "later",
    [
        "rear-axle-nut 108 N·m with W-1, again by P-2",
        "rear-axle-nut loosened: wheel out again by P-2",
        "rear-axle-nut no torque wrench fits by P-2",
    ],
    ids=["tightened", "loosened", "by-hand"],
)
def test_a_brake_proved_before_the_wheel_was_worked_on_is_not_proved(workshop: Workshop, later: str) -> None:
    """A proof holds for what stood when it was given."""
    play(workshop, f"{PROVED_FIRST}2031-04-02 10:03 {later}")
    expected = [
        (
            "rear brake tried: a fastener of a wheel or brake was worked on after it. "
            "Push it and stop it with the rear brake alone."
        )
    ]

    assert expected == findings(workshop, rule="workshop_rules/brake-not-proved", weight="stop")


@pytest.mark.parametrize(
    "later",
    [
        "rear-axle-nut 108 N·m with W-1 clicked without turning by P-3",
        "sprocket-nut 100 N·m with W-1 by P-2",
        "rear-axle-nut mark intact by P-2",
    ],
    ids=["click", "sprocket", "mark"],
)
def test_a_brake_stays_proved_where_no_wheel_or_brake_was_moved(workshop: Workshop, later: str) -> None:
    """A confirming click moves nothing, and a sprocket holds no wheel."""
    play(workshop, f"{PROVED_FIRST}2031-04-02 10:03 {later}")

    assert findings(workshop, rule="workshop_rules/brake-not-proved") == []


def test_a_brake_tried_again_is_proved(workshop: Workshop) -> None:
    """What the stop asks for takes it away."""
    play(
        workshop,
        PROVED_FIRST
        + """2031-04-02 10:03 rear-axle-nut 108 N·m with W-1, again by P-2
        2031-04-02 10:04 brake-tried yes by P-2
        """,
    )

    assert findings(workshop, rule="workshop_rules/brake-not-proved") == []


def test_a_locking_part_fitted_after_the_tightening_stops(played: Workshop) -> None:
    """It cannot lie under a nut that was tight already.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:02 tab-washer fitted washer by P-2
    """
    expected = [
        (
            "front sprocket nut: no new tab washer was fitted before this "
            "tightening. Loosen it, fit a new one, tighten again."
        ),
    ]
    actual = findings(played, rule="workshop_rules/locking-part-reused", weight="stop")

    assert expected == actual


def test_a_locking_part_renewed_for_the_tightening_anew_is_silent(played: Workshop) -> None:
    """Loosened, a new one fitted, tightened again.

    2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2
    2031-04-02 10:01 sprocket-nut 100 N·m with W-1 by P-2
    2031-04-02 10:02 sprocket-nut loosened: washer forgotten by P-2
    2031-04-02 10:03 tab-washer fitted washer by P-2
    2031-04-02 10:04 sprocket-nut 100 N·m with W-1 by P-2
    """
    expected: list[str] = []
    actual = findings(played, rule="workshop_rules/locking-part-reused")

    assert expected == actual


WHEEL_TURNED = """
[[work]]
step = "wheel-turned"
name = "wheel turned by hand"
says = "It runs free."
after = ["rear-axle-nut"]
"""


@pytest.fixture
def with_a_step_after(workshop: Workshop, tmp_path: Path) -> Workshop:
    """The axle procedure with a step that comes after its nut."""
    text = workshop.procedure(workshop.full_digest("axle")).text
    (tmp_path / "axle.toml").write_text(text.replace('edition = "1"', 'edition = "2"', 1) + WHEEL_TURNED, "utf-8")
    digest = enter_procedure(workshop, tmp_path / "axle.toml", Say("P-2"))
    assert open_job(workshop, Opening("V-1", digest), Say("P-2")) == "1"
    return workshop


def test_a_required_step_before_what_comes_first_stops(with_a_step_after: Workshop) -> None:
    """The wheel was turned while its nut was loose; turned again in its place it is done."""
    play(
        with_a_step_after,
        "2031-04-02 10:00 wheel-turned yes by P-2\n2031-04-02 10:01 rear-axle-nut 108 N·m with W-1 by P-2",
    )
    expected = ["wheel turned by hand: recorded before “rear axle nut”. Do that first, then do it again and record it."]

    assert expected == findings(with_a_step_after, rule="workshop_rules/step-too-early", weight="stop")
    assert expected == [says for says in show_job(with_a_step_after, "1").next if "wheel" in says]

    play(with_a_step_after, "2031-04-02 10:02 wheel-turned yes by P-2")
    assert [] == findings(with_a_step_after, rule="workshop_rules/step-too-early")


def test_a_step_in_its_place_is_silent(with_a_step_after: Workshop) -> None:
    """Not yet done it is not too early, and after the nut it is not either."""
    before = findings(with_a_step_after, rule="workshop_rules/step-too-early")
    play(
        with_a_step_after,
        "2031-04-02 10:00 rear-axle-nut 108 N·m with W-1 by P-2\n2031-04-02 10:01 wheel-turned yes by P-2",
    )

    assert ([], []) == (before, findings(with_a_step_after, rule="workshop_rules/step-too-early"))


ORDERED = """
[[work]]
step = "secured"
name = "motorcycle secured"
says = "Tie it down."
[[work]]
step = "photo"
name = "photo taken"
says = "For the owner."
required = false
[[work]]
fit = "sprocket"
name = "sprocket"
part = "sprocket"
after = ["secured", "photo"]
[[work]]
fit = "chain"
name = "chain"
part = "chain"
after = ["sprocket"]
[[work]]
step = "cleaned"
name = "hub cleaned"
says = "Wipe it."
required = false
after = ["secured"]
"""


@pytest.mark.parametrize(
    ("lines", "weights"),
    [
        (["sprocket fitted new one", "secured yes"], {"stop": "secured", "caution": "photo"}),
        (["photo yes", "sprocket fitted new one", "secured yes"], {"stop": "secured"}),
        (["secured yes", "photo yes", "chain fitted it", "sprocket fitted it"], {"caution": "sprocket"}),
        (["cleaned yes", "secured yes"], {"caution": "secured"}),
        (["secured yes", "photo yes", "sprocket fitted it", "chain fitted it", "cleaned yes"], {}),
    ],
    ids=["before-a-step", "optional-done", "parts", "optional", "in-order"],
)
def test_only_what_is_required_stops_for_its_order(
    workshop: Workshop, enter: Callable[..., None], lines: list[str], weights: dict[str, str]
) -> None:
    """What may be left out, and parts among each other, are a caution."""
    enter(ORDERED)
    acts = [f"2031-04-02 10:0{minute} {line} by P-2" for minute, line in enumerate(lines, start=1)]
    play(workshop, "\n".join(["2031-04-02 10:00 job 1 opened drive on V-1 by P-2", *acts]))
    names = {"secured": "motorcycle secured", "photo": "photo taken", "sprocket": "sprocket"}

    for weight in ("stop", "caution"):
        found = findings(workshop, rule="workshop_rules/step-too-early", weight=weight)
        assert [f"recorded before “{names[weights[weight]]}”" in says for says in found] == [True] * (weight in weights)


def test_a_required_step_called_not_applicable_is_a_caution(workshop: Workshop, enter: Callable[..., None]) -> None:
    """With the reason; without one it is refused. What may be left out anyway needs none."""
    enter(ORDERED)
    play(workshop, "2031-04-02 10:00 job 1 opened drive on V-1 by P-2")
    with pytest.raises(Refused, match="motorcycle secured: it is required; say why"):
        play(workshop, "2031-04-02 10:01 secured not applicable by P-2")
    play(
        workshop,
        "2031-04-02 10:01 secured not applicable: on the lift by P-2\n2031-04-02 10:02 photo not applicable by P-2",
    )

    expected = ["motorcycle secured: called not applicable (on the lift). Make sure that it is so."]
    assert expected == findings(workshop, rule="workshop_rules/not-applicable", weight="caution")


def test_a_brake_is_proved_by_a_yes_alone(workshop: Workshop) -> None:
    """No reason makes it not applicable."""
    play(
        workshop,
        "2031-04-02 10:00 job 1 opened final-drive on V-1 by P-2\n2031-04-02 10:01 brake-tried not applicable by P-2",
    )

    assert 1 == len(findings(workshop, rule="workshop_rules/brake-not-proved", weight="stop"))
    assert [] == findings(workshop, rule="workshop_rules/not-applicable")
