"""How often the stated U holds the torque of one pass: simulated (JCGM 101:2008) over random wrenches, seeded.

A wrench is drawn, with the certificate that a laboratory would write of it, and then 10⁶ passes of it; the simulation
adds errors and knows no formula of the program. A stated U of k = 2 has to hold between 94.5 % and 99.5 % of the passes
of every wrench, whether its deviation is corrected for or left in. The ranges are ours: common practice, no source.
"""

import os
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any, NamedTuple

import numpy as np
import pytest

from torqueaudit.model.torque.correction import Fitted, WrenchUse
from torqueaudit.model.wrench.point import Point
from torqueaudit.model.wrench.scale import Shown
from torqueaudit.model.wrench.uncertainty import applied_of, trust_of
from torqueaudit.model.wrench.wrench import Calibration, InForce, Scale, Wrench
from torqueaudit_plugins.wrench_adapter import correct_setting

SEED = 20310402
PROOF = "TORQUEAUDIT_PROOF" in os.environ
WRENCHES, DRAWS = (200, 10**6) if PROOF else (25, 10**5)
LEAST, MOST = 0.945, 0.995
NOISE = 0 if PROOF else 0.0025  # of a share of 95 % among 10⁵ passes, three and a half standard deviations
DUE = date(2032, 3, 31)
LEVER, LENGTH = 500, 60


class Drawn(NamedTuple):
    """A wrench as it is, relative: its mean deviation and scatter by its five readings, and what its paper states."""

    readings: tuple[Decimal, ...]
    shown: Decimal
    expanded: Decimal
    loading_point: Decimal
    division: Decimal
    angle: int | None


def draw(chance: np.random.Generator) -> Drawn:
    """Up to ±3.5 % off, 0.3 to 1 % of scatter, W 0.4 to 1.5 %, |b_ep| to 0.1 %, a division of 0.1 to 1 N·m."""
    shown = Decimal(int(chance.integers(40, 190)))
    deviation, scatter = chance.uniform(-0.035, 0.035), chance.uniform(0.003, 0.01)
    spread = chance.normal(0, 1, 5)
    spread = (spread - spread.mean()) / spread.std(ddof=1) * scatter  # so that five readings show the drawn scatter
    readings = float(shown) / (1 + deviation) * (1 + spread)
    return Drawn(
        readings=tuple(Decimal(str(round(each, 2))) for each in readings),
        shown=shown,
        expanded=Decimal(str(round(chance.uniform(0.004, 0.015), 5))),
        loading_point=Decimal(str(round(chance.uniform(0, 0.001), 5))),
        division=Decimal(str(chance.choice([0.1, 0.5, 1]))),
        angle=int(chance.choice([30, 45, 60, 90, 135])) if chance.random() < 0.5 else None,
    )


def stated(drawn: Drawn, *, correct: bool) -> tuple[float, float]:
    """The torque and its U as the program states them, in N·m."""
    point = Point(drawn.shown, drawn.readings, expanded=drawn.expanded, loading_point=drawn.loading_point)
    moment = datetime(2031, 4, 1, tzinfo=UTC)
    calibration = Calibration(
        entry=7,
        recorded_at=moment,
        on=moment.date(),
        due_on=DUE,
        certificate="C-1",
        laboratory="lab",
        decision_rule="",
        as_found=(point,),
        as_left=(),
        adapters=(),
        paper=None,
    )
    scale = Scale("N·m", drawn.division, Decimal(1))
    wrench = Wrench(
        number="W-1",
        kind="setting",
        tag="blue",
        min_nm=Decimal(20),
        max_nm=Decimal(200),
        lever_mm=Decimal(LEVER),
        due_on=DUE,
        withdrawn="",
        scales=(scale,),
    )
    trust = trust_of(wrench, InForce(calibration, DUE), Shown(drawn.shown, scale), correct_deviation=correct)
    fitted = Fitted("adapter", {"length_mm": str(LENGTH), "angle_deg": str(drawn.angle)})
    use = WrenchUse("W-1", drawn.shown, (fitted,) if drawn.angle is not None else (), Decimal(LEVER))
    correction = correct_setting(use)
    applied = applied_of(drawn.shown, trust, [correction] if correction else [])
    assert applied.expanded_nm is not None
    return float(applied.nm), float(applied.expanded_nm)


def passes(drawn: Drawn, chance: np.random.Generator) -> Any:
    """What reached the fastener in each of many passes: the sum of everything that may differ, by drawing it."""
    readings = np.array([float(each) for each in drawn.readings])
    shown = float(drawn.shown)
    mean, scatter = np.mean((shown - readings) / readings), np.std(readings, ddof=1) / np.mean(readings)
    laboratory = chance.normal(0, float(drawn.expanded) / 2, DRAWS)
    loading_point = chance.uniform(-float(drawn.loading_point), float(drawn.loading_point), DRAWS)
    set_to = shown + chance.uniform(-float(drawn.division) / 2, float(drawn.division) / 2, DRAWS)
    click = chance.normal(0, scatter, DRAWS)
    torque = set_to / (1 + mean + laboratory + loading_point) * (1 + click)
    if drawn.angle is None:
        return torque
    lever, length = chance.normal(LEVER, 5, DRAWS), chance.normal(LENGTH, 1, DRAWS)
    return torque * (lever + length * np.cos(np.radians(chance.normal(drawn.angle, 5, DRAWS)))) / lever


@pytest.mark.proof
@pytest.mark.parametrize("correct", [True, False], ids=["corrected", "left in"])
def test_a_stated_uncertainty_holds_what_it_promises(*, correct: bool) -> None:
    """Of every drawn wrench, between 94.5 % and 99.5 % of its passes lie within ±U of the torque that is stated."""
    chance = np.random.default_rng(SEED)
    held = []
    for _ in range(WRENCHES):
        drawn = draw(chance)
        nm, expanded_nm = stated(drawn, correct=correct)
        held.append(float(np.mean(np.abs(passes(drawn, chance) - nm) <= expanded_nm)))

    assert min(held) >= LEAST - NOISE
    assert max(held) <= MOST + NOISE


@pytest.mark.proof
def test_the_check_sees_a_deviation_that_is_squared() -> None:
    """With |a| inside the squares the worst of the same wrenches keeps less than it promises, so the test can fail."""
    chance = np.random.default_rng(SEED)
    held = []
    for _ in range(WRENCHES):
        drawn = draw(chance)
        nm, expanded_nm = stated(drawn, correct=False)
        readings = [float(each) for each in drawn.readings]
        a = abs(float(np.mean([(float(drawn.shown) - each) / each for each in readings])))
        squared = nm * np.hypot(a, expanded_nm / nm - a)
        held.append(float(np.mean(np.abs(passes(drawn, chance) - nm) <= squared)))

    assert min(held) < LEAST - NOISE
