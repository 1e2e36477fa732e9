"""What turning a nut on adds, against a reading of it by a quality engineer and against what holds by definition."""

import pytest

from torqueaudit_plugins.clamp_load.calc.clamp import Joint
from torqueaudit_plugins.clamp_load.calc.settling import loss_n
from torqueaudit_plugins.clamp_load.calc.thread import SEATS, read_thread
from torqueaudit_plugins.clamp_load.calc.turning import added_nm, bolt_mm_per_n

AXLE = read_thread("M18x1.5")
OILED = Joint(AXLE, SEATS[18.0], 0.12, 0.12)


def test_30_degrees_on_an_axle_of_240_mm_add_about_34_newton_metres() -> None:
    """Source: an engineer's check value, M18 × 1.5 over 240 mm, read as 34 ± 3 N·m; parts that give as much as it."""
    gives = 2 * bolt_mm_per_n(AXLE, 240)

    assert pytest.approx(34, abs=3) == added_nm(OILED, gives, 30)
    assert pytest.approx(33.95, abs=0.05) == added_nm(OILED, gives, 30)


def test_the_bolt_gives_as_its_sections_add_up() -> None:
    """VDI 2230-1, 5.1.1 (from memory): (240 + 0.9·18)/254.469 and 0.5·18/205.10 mm⁻¹, over 205 000 MPa, by hand."""
    assert pytest.approx(5.1251e-6, rel=1e-3) == bolt_mm_per_n(AXLE, 240)


def test_turning_back_by_as_much_as_a_joint_settles_loses_the_same() -> None:
    """By definition: 9.5 µm on a pitch of 1.5 mm are 2.28°, and F = 9.5 µm over what gives, as for settling."""
    lost_nm = OILED.torque_nm(loss_n(9.5, 2.0e-6, 0.5e-6))

    assert pytest.approx(lost_nm, rel=1e-12) == added_nm(OILED, 2.5e-6, 9.5e-3 / 1.5 * 360)
