"""Rules on what an applied torque proves: each once where it speaks and once where it is silent."""

from datetime import date
from decimal import Decimal

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.wrench.acts import Calibrate, NewWrench
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.wrenches.calibrations import calibrate
from torqueaudit.workshop.wrenches.wrench import add_wrench

OPENED = "2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2\n"
FOREMAN = Say("P-1")
# A screwdriver's 6 % make U 6.93 %, more than half of what 47 … 53 N·m leaves.
SCREWDRIVER = NewWrench(
    kind="setting",
    tag="long",
    lowest="20 N·m",
    highest="200 N·m",
    lever_mm=Decimal(500),
    due_on=date(2032, 3, 31),
    construction="screwdriver",
)
BOLTS = "2031-04-02 10:01 sprocket-bolt stage 2 50 N·m with W-4 by P-2"


def proof(workshop: Workshop) -> list[str]:
    """What both rules say."""
    return [
        *findings(workshop, rule="workshop_rules/not-proved"),
        *findings(workshop, rule="workshop_rules/cannot-be-proved"),
    ]


def nut(workshop: Workshop, shown: str, wrench: str = "W-1") -> None:
    """The axle nut of a new job, 97.2 … 118.8 N·m."""
    play(workshop, f"{OPENED}2031-04-02 10:05 rear-axle-nut {shown} with {wrench} by P-2")


def test_in_and_not_proved_by_a_guard_band_is_a_caution(workshop: Workshop) -> None:
    """116 N·m is inside, and the maximum is nearer than the uncertainty: 2·2.31 % of it."""
    settle(workshop, {"guard_factor": "1"}, FOREMAN)
    nut(workshop, "116 N·m")

    # U = 2·0.04/√3·116 = 5.3578 N·m, p = Φ((118.8 - 116)/2.6789) = 85.2 %
    expected = [
        (
            "rear axle nut: 116.0 N·m ± 5.4 N·m lies inside 97.2 … 118.8 N·m, 85.2 % likely inside, but guard band 1·U "
            "does not prove it. Where proof is wanted, loosen it and tighten again further inside, or with a better "
            "wrench."
        )
    ]
    actual = findings(workshop, rule="workshop_rules/not-proved", weight="caution")

    assert expected == actual
    assert findings(workshop, rule="workshop_rules/outside-tolerance") == []


@pytest.mark.parametrize(("shown", "guard_factor"), [("108 N·m", "1"), ("116 N·m", "0"), ("116 N·m", "0.5")], ids=str)
def test_what_is_proved_or_need_not_be_is_silent(workshop: Workshop, shown: str, guard_factor: str) -> None:
    """The middle under a guard band, anything inside by simple acceptance, and half a band where half is enough."""
    settle(workshop, {"guard_factor": guard_factor}, FOREMAN)
    nut(workshop, shown)

    assert proof(workshop) == []


def test_out_and_not_proved_stays_a_stop_alone(workshop: Workshop) -> None:
    """95 N·m may be inside for all the wrench knows; it is the low torque that is told, once."""
    settle(workshop, {"guard_factor": "1"}, FOREMAN)
    nut(workshop, "95 N·m")

    assert proof(workshop) == []
    assert len(findings(workshop, rule="workshop_rules/outside-tolerance", weight="stop")) == 1


def test_outside_the_calibrated_points_is_a_caution(workshop: Workshop) -> None:
    """The wrench is in calibration, and nobody looked at it there."""
    told = Calibrate(date(2031, 4, 1), "C-9", as_found=("20 N·m: 20; W 1 %", "60 N·m: 60; W 1 %"))
    calibrate(workshop, "W-1", told, FOREMAN)
    nut(workshop, "108 N·m")

    expected = [
        (
            "rear axle nut: not proved, for the setting lies outside the points at which wrench W-1 was calibrated "
            "(20 … 60 N·m). Where proof is wanted, use a wrench calibrated there."
        )
    ]
    actual = findings(workshop, rule="workshop_rules/not-proved", weight="caution")

    assert expected == actual


def test_between_the_calibrated_points_is_silent(workshop: Workshop) -> None:
    """There its uncertainty is known."""
    told = Calibrate(date(2031, 4, 1), "C-9", as_found=("20 N·m: 20; W 1 %", "200 N·m: 200; W 1 %"))
    calibrate(workshop, "W-1", told, FOREMAN)
    nut(workshop, "108 N·m")

    assert proof(workshop) == []


def test_a_wrench_out_of_calibration_is_another_rules_matter(workshop: Workshop) -> None:
    """W-3 was overdue; that is a stop of its own."""
    nut(workshop, "108 N·m", "W-3")

    assert proof(workshop) == []
    assert findings(workshop, rule="workshop_rules/wrench-overdue") != []


def test_a_wrench_worn_by_its_cycles_is_another_rules_matter(workshop: Workshop) -> None:
    """One cycle is allowed here, and the second pass is past it."""
    settle(workshop, {"calibration_cycles": 1}, FOREMAN)
    play(workshop, f"{OPENED}2031-04-02 10:03 disc-bolt 22 N·m with W-1 by P-2")
    play(workshop, "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2")

    assert proof(workshop) == []


@pytest.mark.parametrize(
    ("guard_factor", "weight", "says"),
    [
        (
            "0",
            "note",
            (
                "by simple acceptance it is in; nothing wrench W-4 shows could prove it inside 47 … 53 N·m with a "
                "guard band of 1·U, for that is known to ± 3.5 N·m only."
            ),
        ),
        (
            "1",
            "caution",
            (
                "nothing wrench W-4 shows can prove it inside 47 … 53 N·m by guard band 1·U, for that is known to "
                "± 3.5 N·m only."
            ),
        ),
    ],
)
def test_what_no_reading_could_prove_is_told(workshop: Workshop, guard_factor: str, weight: str, says: str) -> None:
    """U is 3.46 N·m to each side and the tolerance 3: five bolts, one sentence, and not-proved says nothing more.

    Simple acceptance asks for no proof and is not made to sound as if it did.
    """
    settle(workshop, {"guard_factor": guard_factor}, FOREMAN)
    add_wrench(workshop, SCREWDRIVER, FOREMAN)
    play(workshop, OPENED + BOLTS)

    expected = [
        f"sprocket bolt {number}: {says} Where proof is wanted, take a better wrench." for number in (1, 2, 3, 4, 5)
    ]
    actual = findings(workshop, rule="workshop_rules/cannot-be-proved", weight=weight)

    assert expected == actual
    assert expected == proof(workshop)


def test_half_a_guard_band_may_prove_what_a_whole_one_cannot(workshop: Workshop) -> None:
    """w is 1.73 N·m, so 48.73 … 51.27 N·m is accepted and 50 lies in it."""
    settle(workshop, {"guard_factor": "0.5"}, FOREMAN)
    add_wrench(workshop, SCREWDRIVER, FOREMAN)
    play(workshop, OPENED + BOLTS)

    assert proof(workshop) == []


def test_a_stage_and_a_nut_undone_prove_nothing_and_need_not(workshop: Workshop) -> None:
    """Only the final pass that stands is asked."""
    settle(workshop, {"guard_factor": "1"}, FOREMAN)
    play(
        workshop,
        OPENED
        + """2031-04-02 10:01 sprocket-bolt stage 1 47 N·m with W-1 by P-2
        2031-04-02 10:05 rear-axle-nut 116 N·m with W-1 by P-2
        2031-04-02 10:06 rear-axle-nut loosened: spacer forgotten by P-2
        """,
    )

    assert proof(workshop) == []
