"""The adapter formula against published worked examples, geometry and an independent propagation of uncertainty."""

from decimal import Decimal
from math import cos, radians, sqrt

import pytest

from torqueaudit.model.torque.correction import Fitted, WrenchUse
from torqueaudit_plugins.wrench_adapter import correct_setting
from torqueaudit_plugins.wrench_adapter.calc.formula import Geometry, factor_of, relative_uncertainties, setting_for

ANGLES = ("0", "22.5", "45", "60", "90", "135", "180")


@pytest.mark.parametrize(("angle", "setting"), [("0", "117.39"), ("180", "158.82")])
def test_the_worked_examples_of_ac_43_13_1b(angle: str, setting: str) -> None:
    """Source: FAA AC 43.13-1B, figure 7-2: 135 lbf·in, wrench 10 in, adapter 1.5 in, added and taken away."""
    expected = Decimal(setting)
    actual = setting_for(Decimal(135), Decimal(10), Decimal("1.5"), Decimal(angle))

    assert expected == round(actual, 2)


def test_the_worked_example_of_tm_9_254() -> None:
    """Source: US Army TM 9-254, figure 45: wrench 12 in, extension 2 in, set to 60 lbf·in, 70 at its end."""
    factor = factor_of(Geometry(Decimal(12), Decimal(2), Decimal(0)))

    assert Decimal(70) == round(60 * factor, 20)
    assert Decimal(60) == setting_for(Decimal(70), Decimal(12), Decimal(2), Decimal(0))


@pytest.mark.parametrize(
    ("angle", "setting"), [("0", "90.909090909"), ("45", "93.395911747"), ("90", "100"), ("180", "111.111111111")]
)
def test_100_newton_metres_through_50_mm_on_500_mm(angle: str, setting: str) -> None:
    """Source: the formula of AC 43.13-1B figure 7-2 with θ, worked out to eleven digits and more."""
    expected = Decimal(setting)
    actual = setting_for(Decimal(100), Decimal(500), Decimal(50), Decimal(angle))

    assert expected == round(actual, 9)


@pytest.mark.parametrize("tenths", range(0, 1801, 75))
def test_the_cosine_agrees_with_the_c_library(tenths: int) -> None:
    """Source: math.cos, in binary floating point; ours is decimal, the same on every machine."""
    angle = tenths / 10
    factor = float(factor_of(Geometry(Decimal(500), Decimal(200), Decimal(tenths) / 10)))

    assert pytest.approx((500 + 200 * cos(radians(angle))) / 500, rel=1e-15) == factor


@pytest.mark.parametrize(("angle", "uncertainty"), [("0", 0.18479901), ("45", 0.55564403), ("90", 0.87266463)])
def test_the_assumed_uncertainties_propagate_as_in_jcgm_100(angle: str, uncertainty: float) -> None:
    """Source: JCGM 100:2008 5.1.2, T 100, L 500, E 50, u(L) 5 mm, u(E) 1 mm, u(θ) 5°, u(S) to eight places."""
    adapter = Fitted("adapter", {"length_mm": "50", "angle_deg": angle})
    correction = correct_setting(WrenchUse("W-2", Decimal(100), (adapter,), Decimal(500)))
    assert correction is not None
    setting = 100 / float(correction.factor)
    actual = setting * sqrt(sum(float(line.relative) ** 2 for line in correction.budget))

    assert pytest.approx(uncertainty, abs=5e-9) == actual


@pytest.mark.parametrize("angle", ANGLES)
def test_each_share_agrees_with_differences_of_the_formula(angle: str) -> None:
    """Source: central differences of S = T·L/(L + E·cos θ) in floating point, independent of the derivatives used."""

    def setting(lever: float, length: float, degrees: float) -> float:
        return lever / (lever + length * cos(radians(degrees)))

    at = (480.0, 130.0, float(angle))
    standard = (5.0, 1.0, 5.0)
    step = 1e-4
    expected = []
    for which in range(3):
        above, below = ([x + sign * step * (i == which) for i, x in enumerate(at)] for sign in (1, -1))
        slope = (setting(*above) - setting(*below)) / (2 * step)
        expected.append(abs(slope) * standard[which] / setting(*at))

    actual = relative_uncertainties(
        Geometry(Decimal(480), Decimal(130), Decimal(angle)), Geometry(Decimal(5), Decimal(1), Decimal(5))
    )

    assert pytest.approx(expected, abs=1e-8) == [float(share) for share in actual]
