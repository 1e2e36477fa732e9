"""Propagated uncertainties against a simulation (JCGM 101:2008, propagation of distributions), seeded.

The simulation draws what the model is fed with: lengths and the angle normally distributed, the wrench's permissible
deviation and what lies between two marks of its scale evenly. It knows neither derivatives nor first order.
"""

import os
from datetime import date
from decimal import Decimal
from fractions import Fraction

import numpy as np
import pytest

from torqueaudit.model.torque.correction import Correction, Fitted, WrenchUse
from torqueaudit.model.wrench.scale import Shown
from torqueaudit.model.wrench.uncertainty import Trust, applied_of, trust_of
from torqueaudit.model.wrench.wrench import InForce, Scale, Wrench
from torqueaudit_plugins.wrench_adapter import correct_setting

SEED = 20310402
DRAWS = 10**6 if "TORQUEAUDIT_PROOF" in os.environ else 10**5
SPREAD = 2 / np.sqrt(2 * DRAWS)  # two standard deviations of a simulated standard deviation, relative
SHOWN, LEVER, LENGTH, DIVISION = 100.0, 500.0, 50.0, 2.0
ALONE = Trust(Fraction(1), ())  # a wrench that adds nothing


def adapter(angle: int) -> Correction:
    """50 mm on a lever of 500 mm, with the uncertainties that the workshop assumes: 5 mm, 1 mm, 5 degrees."""
    fitted = Fitted("adapter", {"length_mm": "50", "angle_deg": str(angle)})
    correction = correct_setting(WrenchUse("W-1", Decimal(100), (fitted,), Decimal(500)))
    assert correction is not None
    return correction


def factors(angle: int) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """Simulated factors (L + E·cos θ)/L."""
    chance = np.random.default_rng(SEED)
    lever, length = chance.normal(LEVER, 5, DRAWS), chance.normal(LENGTH, 1, DRAWS)
    theta = np.radians(chance.normal(angle, 5, DRAWS))
    return (lever + length * np.cos(theta)) / lever


def settings() -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """What a wrench set to 100 N·m gives: ±4 % of permissible deviation and half a division, both evenly spread."""
    chance = np.random.default_rng(SEED + 1)
    read = SHOWN + chance.uniform(-DIVISION / 2, DIVISION / 2, DRAWS)
    return read * (1 + chance.uniform(-0.04, 0.04, DRAWS))


def trusted() -> Trust:
    """The same wrench as the model knows it."""
    scales = (Scale("N·m", Decimal(2), Decimal(1)),)
    due = date(2032, 3, 31)
    wrench = Wrench(
        number="W-1",
        kind="setting",
        tag="blue",
        min_nm=Decimal(20),
        max_nm=Decimal(200),
        lever_mm=Decimal(500),
        due_on=due,
        withdrawn="",
        scales=scales,
    )
    return trust_of(wrench, InForce(None, due), Shown(Decimal(100)), correct_deviation=False)


def u_of(trust: Trust, *corrections: Correction) -> float:
    """The propagated standard uncertainty in N·m at a setting of 100 N·m."""
    expanded = applied_of(Decimal(100), trust, corrections).expanded_nm
    assert expanded is not None
    return float(expanded) / 2


@pytest.mark.proof
@pytest.mark.parametrize("angle", [45, 90, 135])
def test_an_adapter_aside_is_propagated_within_1_percent(angle: int) -> None:
    """At 45, 90 and 135 degrees the formula is nearly straight over the angle's spread."""
    simulated = float(np.std(SHOWN * factors(angle)))

    assert pytest.approx(simulated, rel=0.01) == u_of(ALONE, adapter(angle))


@pytest.mark.proof
def test_a_wrench_alone_is_propagated_within_1_percent() -> None:
    """Two rectangles, the deviation's and the division's."""
    assert pytest.approx(float(np.std(settings())), rel=0.01) == u_of(trusted())


@pytest.mark.proof
@pytest.mark.parametrize("angle", [0, 10, 45, 90, 135, 180])
def test_wrench_and_adapter_together_are_propagated_within_1_percent(angle: int) -> None:
    """Also straight ahead: beside the wrench's own share the adapter's shortfall is no longer seen."""
    simulated = float(np.std(settings() * factors(angle)))

    assert pytest.approx(simulated, rel=0.01) == u_of(trusted(), adapter(angle))


@pytest.mark.proof
@pytest.mark.parametrize(("angle", "short"), [(0, 0.025), (10, 0.017)])
def test_first_order_falls_short_near_straight_ahead(angle: int, short: float) -> None:
    """The cosine's slope is nothing at 0 degrees, its curve is not: 2.5 % are missing of u(S) there, 1.7 % at 10."""
    correction = adapter(angle)
    applied = applied_of(Decimal(100), ALONE, [correction])
    relative = u_of(ALONE, correction) / float(applied.nm)
    propagated = 100 / float(correction.factor) * relative  # S for 100 N·m at the fastener
    simulated = float(np.std(100 / factors(angle)))

    assert pytest.approx(short, abs=0.001 + SPREAD) == simulated / propagated - 1
