"""The simulated damage of `benchmarks/damage.py`: where it falls, how much of it there is, and that a seed names it."""

import importlib.util
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

SOURCE = Path(__file__).parents[2] / "benchmarks" / "damage.py"

# version → codewords, remainder bits. Source: ISO/IEC 18004 table 1 (values from memory).
DATA = {1: (26, 0), 2: (44, 7), 3: (70, 7), 4: (100, 7), 5: (134, 7), 6: (172, 7)}


@pytest.fixture(scope="module")
def damage() -> ModuleType:
    spec = importlib.util.spec_from_file_location("damage", SOURCE)
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def symbol(damage: ModuleType, modules: int = 37) -> Any:
    """A symbol of 5 dots a module, 20 dots from the label's corner, at 300 dpi."""
    return damage.Symbol(20, 20, 5, modules, 300)


@pytest.mark.parametrize("version", DATA)
def test_the_data_area_is_what_the_standard_counts(damage: ModuleType, version: int) -> None:
    """Eight modules a codeword and the remainder, of 5 by 5 dots each; the dark module is a function pattern too."""
    codewords, remainder = DATA[version]
    actual = damage.data_area(symbol(damage, 17 + 4 * version)).sum() / 25

    assert 8 * codewords + remainder == actual


@pytest.mark.parametrize("kind", ["dirt_in_data", "dirt_anywhere", "scratches"])
def test_damage_covers_what_was_asked_and_is_named_by_its_seed(damage: ModuleType, kind: str) -> None:
    """Over a grey label every covered dot shows: at least the share, at most one blot or stroke more."""
    place = symbol(damage)
    grey = np.full((240, 240), 128, np.uint8)
    spoil: Any = getattr(damage, kind)
    spoilt = spoil(grey, place, 0.046, np.random.default_rng(3))
    area = damage.data_area(place) if kind == "dirt_in_data" else np.ones((185, 185), bool)
    inside = spoilt[20:205, 20:205] != 128
    share = inside.sum() / area.sum()

    assert 0.046 <= share <= 0.046 + 0.045
    assert not (inside & ~area).any()
    assert (spoilt != 128).sum() == inside.sum()
    assert np.array_equal(spoilt, spoil(grey, place, 0.046, np.random.default_rng(3)))
    assert not np.array_equal(spoilt, spoil(grey, place, 0.046, np.random.default_rng(4)))


@pytest.mark.parametrize("kind", ["dirt_on_label", "scratches_on_label"])
def test_damage_of_a_whole_label_lies_anywhere_on_it(damage: ModuleType, kind: str) -> None:
    """At least the share of it, in each quarter, and named by its seed."""
    grey = np.full((240, 400), 128, np.uint8)
    spoil: Any = getattr(damage, kind)
    spoilt = spoil(grey, 203, 0.1, np.random.default_rng(5)) != 128

    assert 0.1 <= spoilt.mean() <= 0.1 + 0.045
    assert all(part.any() for half in np.hsplit(spoilt, 2) for part in np.vsplit(half, 2))
    assert np.array_equal(spoilt, spoil(grey, 203, 0.1, np.random.default_rng(5)) != 128)


def test_a_spot_falls_on_one_corner(damage: ModuleType) -> None:
    """Each of the three in turn; black, and never wider than 1.5 mm."""
    place, hit = symbol(damage), set()
    for seed in range(20):
        spoilt = damage.spot_on_corner(np.full((240, 240), 255, np.uint8), place, np.random.default_rng(seed))
        rows, columns = np.nonzero(spoilt == 0)
        assert max(np.ptp(rows), np.ptp(columns)) <= 1.5 * 300 / 25.4
        middle = ((rows.mean() - 20) / 5, (columns.mean() - 20) / 5)
        hit.add(tuple(at > 18.5 for at in middle))

    assert hit == {(False, False), (False, True), (True, False)}


@pytest.mark.parametrize("corners", [0, 1, 2, 3])
def test_corners_that_are_gone_are_white(damage: ModuleType, corners: int) -> None:
    """Nine modules by nine for each, of 5 by 5 dots, and nothing else."""
    spoilt = damage.corners_gone(
        np.zeros((240, 240), np.uint8), symbol(damage), corners, np.random.default_rng(corners)
    )

    assert corners * 45 * 45 == (spoilt == 255).sum()
