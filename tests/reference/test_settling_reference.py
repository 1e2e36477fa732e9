"""Settling against VDI 2230-1 table 5, values from memory, not read in the guideline."""

import pytest

from torqueaudit_plugins.clamp_load.calc.settling import loss_n, lost, settling_um


@pytest.mark.parametrize(("roughness", "settled"), [(1, 9.5), (9.99, 9.5), (10, 11), (39.9, 11), (40, 14), (160, 14)])
def test_thread_two_seats_and_one_interface(roughness: float, settled: float) -> None:
    """Source: table 5, tension, µm: 3 + 2 · 2.5 + 1.5 below Rz 10; 3 + 2 · 3 + 2 below 40; 3 + 2 · 4 + 3 to 160."""
    assert settled == settling_um(roughness)


def test_a_tapped_hole_has_one_seat_and_each_interface_counts() -> None:
    """Source: the same table: 3 + 2.5 + 4 · 1.5."""
    assert 11.5 == settling_um(6.3, interfaces=4, seats=1)


@pytest.mark.parametrize("roughness", [0.0, -1.0, 160.1, float("nan")])
def test_a_roughness_outside_the_table_is_refused(roughness: float) -> None:
    """Nothing is extrapolated."""
    with pytest.raises(ValueError, match="a roughness Rz lies above 0 and up to 160 µm, not at"):
        settling_um(roughness)


@pytest.mark.parametrize(("bolt", "parts", "loss"), [(2.0e-6, 0.5e-6, 3800), (6e-6, 1e-6, 1357.142857)])
def test_what_9_5_micrometres_cost(bolt: float, parts: float, loss: float) -> None:
    """Source: F_Z = f_Z/(δ_S + δ_P); the short, stiff joint loses nearly three times as much."""
    assert pytest.approx(loss, rel=1e-9) == loss_n(9.5, bolt, parts)


def test_a_loss_is_told_as_a_share_or_as_all() -> None:
    """More than all there is no clamp load to lose."""
    assert ["11 %", "all", "all"] == [lost(loss, 35_000) for loss in (3800, 35_000, 90_000)]
