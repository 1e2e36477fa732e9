"""The adapter formula against published worked examples, geometry and an independent propagation of uncertainty."""

from cmath import rect
from decimal import Decimal
from math import cos, radians, sqrt

import pytest
from uncertainties import ufloat, umath

from torqueaudit.model.torque.correction import Fitted, WrenchUse
from torqueaudit.read.adapter import read_adapter
from torqueaudit_plugins.wrench_adapter import correct_setting
from torqueaudit_plugins.wrench_adapter.calc.formula import (
    Arm,
    Geometry,
    factor_of,
    relative_uncertainties,
    setting_for,
)

ANGLES = ("0", "22.5", "45", "60", "90", "135", "180")
ROWS = (  # adapters in a row, length and angle of each
    ((50, 45), (30, 0)),
    ((50, 0), (100, 0)),
    ((120, 30), (60, 150), (45, 90)),
    ((200, 180), (80, 20)),
)


def one(lever: Decimal | str | int, length: Decimal | str | int, angle: Decimal | str | int) -> Geometry:
    """A lever with one adapter."""
    return row(lever, (length, angle))


def row(lever: Decimal | str | int, *arms: tuple[Decimal | str | int, Decimal | str | int]) -> Geometry:
    """A lever with adapters in a row, from the wrench on."""
    return Geometry(Decimal(lever), tuple(Arm(Decimal(length), Decimal(angle)) for length, angle in arms))


@pytest.mark.parametrize(("angle", "setting"), [("0", "117.39"), ("180", "158.82")])
def test_the_worked_examples_of_ac_43_13_1b(angle: str, setting: str) -> None:
    """Source: FAA AC 43.13-1B, figure 7-2: 135 lbf·in, wrench 10 in, adapter 1.5 in, added and taken away."""
    expected = Decimal(setting)
    actual = setting_for(Decimal(135), one(10, "1.5", angle))

    assert expected == round(actual, 2)


def test_the_worked_example_of_tm_9_254() -> None:
    """Source: US Army TM 9-254, figure 45: wrench 12 in, extension 2 in, set to 60 lbf·in, 70 at its end."""
    factor = factor_of(one(12, 2, 0))

    assert Decimal(70) == round(60 * factor, 20)
    assert Decimal(60) == setting_for(Decimal(70), one(12, 2, 0))


@pytest.mark.parametrize(
    ("angle", "setting"), [("0", "90.909090909"), ("45", "93.395911747"), ("90", "100"), ("180", "111.111111111")]
)
def test_100_newton_metres_through_50_mm_on_500_mm(angle: str, setting: str) -> None:
    """Source: the formula of AC 43.13-1B figure 7-2 with θ, worked out to eleven digits and more."""
    expected = Decimal(setting)
    actual = setting_for(Decimal(100), one(500, 50, angle))

    assert expected == round(actual, 9)


@pytest.mark.parametrize("tenths", range(0, 1801, 75))
def test_the_cosine_agrees_with_the_c_library(tenths: int) -> None:
    """Source: math.cos, in binary floating point; ours is decimal, the same on every machine."""
    angle = tenths / 10
    factor = float(factor_of(one(500, 200, Decimal(tenths) / 10)))

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

    actual = relative_uncertainties(one(480, 130, angle), one(5, 1, 5))

    assert pytest.approx(expected, abs=1e-8) == [float(share) for share in (actual.lever, *actual.arms[0])]


def test_two_adapters_in_a_row_by_the_worked_figures() -> None:
    """Source: vectors, worked out by hand: 500 + 50·cos 45° + 30 on 500; and 500/650 of 100 N·m."""
    shown = 100 * factor_of(row(500, (50, 45), (30, 0)))
    setting = setting_for(Decimal(100), row(500, (50, 0), (100, 0)))

    assert Decimal("113.07") == round(shown, 2)
    assert Decimal("76.923") == round(setting, 3)


@pytest.mark.parametrize("arms", ROWS)
def test_adapters_in_a_row_add_as_vectors(arms: tuple[tuple[int, int], ...]) -> None:
    """Source: statics in the complex plane: a hand's force square on the lever, its moment about drive and fastener."""
    hand, drive, force = complex(-420, 0), complex(0, 0), complex(0, 1)
    fastener = drive + sum(rect(length, radians(angle)) for length, angle in arms)
    about_drive, about_fastener = (((hand - point).conjugate() * force).imag for point in (drive, fastener))

    expected = about_fastener / about_drive
    actual = float(factor_of(row(420, *arms)))

    assert pytest.approx(expected, rel=1e-14) == actual


@pytest.mark.parametrize("arms", ROWS)
def test_the_shares_of_adapters_in_a_row_agree_with_an_independent_propagation(
    arms: tuple[tuple[int, int], ...],
) -> None:
    """Source: the `uncertainties` package, with the formula as it is written and each input on its own."""
    lever = ufloat(500, 5)
    measured = [(ufloat(length, 1), ufloat(radians(angle), radians(5))) for length, angle in arms]
    setting = lever / (lever + sum(length * umath.cos(angle) for length, angle in measured))
    parts = setting.error_components()
    found = relative_uncertainties(row(500, *arms), row(5, *((1, 5) for _ in arms)))

    expected = [
        parts.get(each, 0.0) / setting.nominal_value for each in (lever, *(x for both in measured for x in both))
    ]
    actual = [float(share) for share in (found.lever, *(share for arm in found.arms for share in arm))]

    assert pytest.approx(expected, abs=1e-12) == actual


def test_the_budget_of_two_adapters_agrees_with_an_independent_propagation() -> None:
    """Source: the `uncertainties` package; the plugin's own budget with the assumed uncertainties."""
    fitted = tuple(Fitted("adapter", {"length_mm": length, "angle_deg": "45"}) for length in ("50", "80"))
    correction = correct_setting(WrenchUse("W-2", Decimal(100), fitted, Decimal(500)))
    assert correction is not None
    lever = ufloat(500, 5)
    along = sum(ufloat(length, 1) * umath.cos(ufloat(radians(45), radians(5))) for length in (50, 80))
    factor = (lever + along) / lever

    expected = (factor.nominal_value, factor.std_dev / factor.nominal_value)
    actual = (float(correction.factor), sqrt(sum(float(line.relative) ** 2 for line in correction.budget)))

    assert pytest.approx(expected, rel=1e-12) == actual


def test_measured_uncertainties_told_with_k_2_count_by_their_half() -> None:
    """Source: JCGM 100:2008 6.2.1, U = k·u, and the `uncertainties` package; lever 500 ± 2, 50 ± 0.5 at 45 ± 2."""
    use = WrenchUse("W-2", Decimal(100), (read_adapter("50±0.5@45±2"),), Decimal(500))
    correction = correct_setting(use._replace(lever_u_mm=Decimal(1)))
    assert correction is not None
    told = ufloat(500, 1)
    factor = (told + ufloat(50, 0.25) * umath.cos(ufloat(radians(45), radians(1)))) / told

    expected = factor.std_dev / factor.nominal_value
    actual = sqrt(sum(float(line.relative) ** 2 for line in correction.budget))

    assert pytest.approx(expected, rel=1e-12) == actual
    assert all(line.name.endswith("as stated") for line in correction.budget)
