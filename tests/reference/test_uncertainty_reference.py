"""The uncertainty of an applied torque against ISO 6789, JCGM 100 and the `uncertainties` package."""

import math
import statistics
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from uncertainties import ufloat, umath

from torqueaudit.model.torque.correction import COVERAGE, Correction, Fitted, WrenchUse
from torqueaudit.model.torque.verdict import verdict_of
from torqueaudit.model.wrench.classes import BAR, OTHER, SCREWDRIVER
from torqueaudit.model.wrench.figures import rectangular
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.scale import Shown
from torqueaudit.model.wrench.uncertainty import applied_of, trust_of
from torqueaudit.model.wrench.wrench import Calibration, InForce, Scale, Wrench
from torqueaudit_plugins.wrench_adapter import correct_setting

ANGLES = ("0", "10", "30", "45", "60", "90", "120", "135", "170", "180")
DUE = date(2032, 3, 31)
STATED = InForce(None, DUE)  # in calibration, without figures
# ISO 6789-2:2017 (from memory), reference.md's five readings: a 2.209507 %, W 1.384921 %, |b_ep| 0.1 %, W′ 3.694428 %.
READINGS = tuple(Decimal(text) for text in ("97.2", "98.1", "97.6", "98.4", "97.9"))
W, B_EP = Decimal("0.01384921"), Decimal("0.001")


def a_wrench(highest: str | None = "200", scales: tuple[Scale, ...] = (), construction: str = OTHER) -> Wrench:
    """A clicking wrench of 500 mm; without a scale its division adds nothing."""
    max_nm = None if highest is None else Decimal(highest)
    return Wrench(
        number="W-1",
        kind="setting",
        tag="blue",
        min_nm=Decimal(1),
        max_nm=max_nm,
        lever_mm=Decimal(500),
        due_on=DUE,
        withdrawn="",
        scales=scales,
        construction=construction,
    )


def calibrated(*points: Point) -> InForce:
    """A calibration with figures, in force."""
    moment = datetime(2031, 4, 1, tzinfo=UTC)
    return InForce(
        Calibration(
            entry=7,
            recorded_at=moment,
            on=date(2031, 4, 1),
            due_on=DUE,
            certificate="C-1",
            laboratory="lab",
            decision_rule="",
            as_found=points,
            as_left=(),
            adapters=(),
            paper=None,
        ),
        DUE,
    )


def percent(wrench: Wrench, in_force: InForce, shown: str = "100", *, correct_deviation: bool = False) -> float:
    """U (k = 2) in percent of the torque at the fastener."""
    trust = trust_of(wrench, in_force, Shown(Decimal(shown)), correct_deviation=correct_deviation)
    applied = applied_of(Decimal(shown), trust, [])
    assert applied.expanded_nm is not None
    return float(applied.expanded_nm / applied.nm * 100)


def test_a_permissible_deviation_is_a_rectangular_limit() -> None:
    """Source: JCGM 100:2008 4.3.7, u = a/√3: ±4 % makes U = 4.62 % with k = 2, and not 4 %."""
    assert pytest.approx(200 * 0.04 / math.sqrt(3), rel=1e-9) == percent(a_wrench(), STATED)
    assert round(percent(a_wrench(), STATED), 2) == 4.62


@pytest.mark.parametrize(
    ("highest", "construction", "limit"),
    [
        ("200", OTHER, 4),
        ("10.01", OTHER, 4),
        ("10", OTHER, 6),
        ("5", OTHER, 6),
        (None, OTHER, 6),
        ("200", BAR, 6),
        ("50", SCREWDRIVER, 6),
    ],
)
@pytest.mark.parametrize("shown", ["2", "100"], ids=["low reading", "high reading"])
def test_the_split_is_on_the_maximum_of_the_tool(
    highest: str | None, construction: str, limit: int, shown: str
) -> None:
    """Source: ISO 6789-1:2017 5.1.5 (from memory): 6 % up to a maximum of 10 N·m, 4 % above, whatever it reads."""
    wrench = a_wrench(highest, construction=construction)

    assert pytest.approx(200 * limit / 100 / math.sqrt(3), rel=1e-9) == percent(wrench, STATED, shown)


def test_a_scale_adds_half_a_division_to_each_side() -> None:
    """Source: JCGM 100:2008 F.2.2.1, u = division/√12: 5 N·m at 100 N·m is 1.443 %."""
    plain, with_scale = a_wrench(), a_wrench(scales=(Scale("N·m", Decimal(5), Decimal(1)),))
    share = math.sqrt(percent(with_scale, STATED) ** 2 - percent(plain, STATED) ** 2) / 2

    assert pytest.approx(5 / math.sqrt(12), rel=1e-8) == share


def test_a_division_counts_in_its_own_unit() -> None:
    """Source: 1 lbf·ft = 1.3558179483314004 N·m exactly (NIST SP 811): a division of 2 lbf·ft is 2.711636 N·m."""
    foot_pound = Decimal("1.3558179483314004")
    trust = trust_of(
        a_wrench(scales=(Scale("lbf·ft", Decimal(2), foot_pound),)),
        STATED,
        Shown(Decimal(100)),
        correct_deviation=False,
    )

    assert pytest.approx(2.7116358966628008 / math.sqrt(12) / 100, rel=1e-12) == float(trust.lines[-1].relative)


def test_a_deviation_left_in_adds_and_a_corrected_one_goes() -> None:
    """Source: JCGM 100:2008 F.2.4.5 and 5.1.2 over the five readings, by `statistics`: |a| + |b_ep| is linear."""
    in_force = calibrated(
        Point(shown_nm=Decimal(100), references_nm=READINGS, expanded=W, interval=None, loading_point=B_EP)
    )
    without_b_ep = calibrated(Point(Decimal(100), READINGS, W))
    references = [float(each) for each in READINGS]
    a = statistics.fmean((100 - each) / each * 100 for each in references)
    scatter = statistics.stdev(references) / statistics.fmean(references) * 100
    left_in = a + 0.1 + 2 * math.hypot(1.384921 / 2, scatter)

    assert pytest.approx(2.209507, abs=1e-6) == a
    assert pytest.approx(left_in, abs=1e-6) == percent(a_wrench(), in_force)
    assert pytest.approx(2 * math.hypot(1.484921 / 2, scatter), abs=1e-6) == percent(
        a_wrench(), in_force, correct_deviation=True
    )
    assert pytest.approx(2 * math.hypot(1.384921 / 2, scatter), abs=1e-6) == percent(
        a_wrench(), without_b_ep, correct_deviation=True
    )


@pytest.mark.parametrize(
    ("correct", "nm", "expanded", "verdict", "probability"),
    [(True, 99.13, 0.59478, "out", 0.0017), (False, 103, 4.639083, "in", 0.90206)],
)
def test_a_deviation_of_almost_the_permissible_one(
    *, correct: bool, nm: float, expanded: float, verdict: str, probability: float
) -> None:
    """Source: JCGM 100:2008 3.2.4 and JCGM 106:2012, worked out: 103 gave 99.13, W 0.6 %, held against 100 … 120.

    a = 3.904 %; corrected T = 99.13, U = 0.6 % of it, p = Φ(-0.87/0.29739). Left in, U = 4.504 % of 103.
    """
    steady = tuple(Decimal("99.13") for _ in range(5))
    in_force = calibrated(Point(Decimal(103), steady, Decimal("0.006")))
    trust = trust_of(a_wrench(), in_force, Shown(Decimal(103)), correct_deviation=correct)
    applied = applied_of(Decimal(103), trust, [])
    judged = verdict_of(applied.exact, applied.expanded_nm, Decimal(100), Decimal(120), Decimal(0))

    assert applied.expanded_nm is not None
    assert judged.probability is not None
    assert pytest.approx(nm) == float(applied.nm)
    assert pytest.approx(expanded, rel=1e-5) == float(applied.expanded_nm)
    assert judged.word.startswith(verdict)
    assert pytest.approx(probability, abs=5e-5) == float(judged.probability)


def test_a_torque_at_its_limit_is_in() -> None:
    """Source: 75·(300 + 100)/300 = 100, exactly; as decimals it would be 99.99… and below its limit."""
    adapter = Fitted("adapter", {"length_mm": "100", "angle_deg": "0"})
    correction = correct_setting(WrenchUse("W-1", Decimal(75), (adapter,), Decimal(300)))
    assert isinstance(correction, Correction)
    trust = trust_of(a_wrench(), STATED, Shown(Decimal(75)), correct_deviation=True)
    applied = applied_of(Decimal(75), trust, [correction])

    assert Decimal(100) == applied.nm
    assert verdict_of(applied.exact, applied.expanded_nm, Decimal(100), Decimal(120), Decimal(0)).word == "in"


def test_a_corrected_deviation_moves_the_torque_and_no_other_does() -> None:
    """Source: ISO 6789-1:2017 (from memory), a = (X_a - X_r)/X_r: the true torque is X/(1 + a), here 97.838257 N·m."""
    in_force = calibrated(
        Point(shown_nm=Decimal(100), references_nm=READINGS, expanded=W, interval=None, loading_point=B_EP)
    )
    applied = {
        corrected: applied_of(
            Decimal(100), trust_of(a_wrench(), in_force, Shown(Decimal(100)), correct_deviation=corrected), []
        ).nm
        for corrected in (False, True)
    }

    assert applied[False] == 100
    assert pytest.approx(100 / 1.02209507, abs=1e-6) == float(applied[True])


@pytest.mark.parametrize(("deviation", "true"), [("0.053", 102.564103), ("0.12", 96.428571), ("-0.06", 114.893617)])
def test_set_108_with_a_deviation_as_found(deviation: str, true: float) -> None:
    """Source: T = X/(1 + a), worked out: 108 at +5.3 % was 102.564103, at +12 % 96.428571, at -6 % 114.893617 N·m."""
    setting = Decimal(108)
    in_force = calibrated(Point(setting, (setting / (1 + Decimal(deviation)),), Decimal("0.01")))
    trust = trust_of(a_wrench(), in_force, Shown(setting), correct_deviation=True)

    assert true == round(float(applied_of(setting, trust, []).nm), 6)


@pytest.mark.parametrize(("shown", "interval"), [("40", 3.0), ("50", 2.5), ("60", 2.0), ("95", 3.75), ("100", 4.0)])
def test_between_two_points_it_goes_along_a_straight_line(shown: str, interval: float) -> None:
    """Source: linear interpolation, worked out: W′ 3 % at 40, 2 % at 60, 4 % at 100 N·m."""
    in_force = calibrated(
        *(
            Point(Decimal(at), (Decimal(at),) * 5, None, Decimal(w))
            for at, w in ((40, "0.03"), (60, "0.02"), (100, "0.04"))
        )
    )

    assert pytest.approx(interval, rel=1e-9) == percent(a_wrench(), in_force, shown)


@pytest.mark.parametrize("angle", ANGLES)
def test_setting_times_adapter_propagates_as_the_uncertainties_package_does(angle: str) -> None:
    """Source: `uncertainties` 3.2, linear error propagation with derivatives of its own, over T = S·(L + E·cos θ)/L."""
    shown, division = Decimal(90), Decimal("2.5")
    adapter = Fitted("adapter", {"length_mm": "120", "angle_deg": angle})
    correction = correct_setting(WrenchUse("W-1", shown, (adapter,), Decimal(500)))
    assert isinstance(correction, Correction)
    wrench = a_wrench(scales=(Scale("N·m", division, Decimal(1)),))
    applied = applied_of(shown, trust_of(wrench, STATED, Shown(shown), correct_deviation=False), [correction])

    permissible = ufloat(1, 0.04 / math.sqrt(3))
    read = ufloat(90, 2.5 / math.sqrt(12))
    lever, length, theta = ufloat(500, 5), ufloat(120, 1), ufloat(math.radians(float(angle)), math.radians(5))
    expected = read * permissible * (lever + length * umath.cos(theta)) / lever

    assert pytest.approx(expected.nominal_value, rel=1e-12) == float(applied.nm)
    assert applied.expanded_nm is not None
    assert pytest.approx(COVERAGE * expected.std_dev, rel=1e-9) == float(applied.expanded_nm)


def test_a_rectangle_reaches_to_its_limit() -> None:
    """Source: JCGM 100:2008 4.3.7: the variance of a rectangle of half-width a is a²/3."""
    assert pytest.approx(1 / 3, rel=1e-15) == float(rectangular(Decimal(1)) ** 2)
