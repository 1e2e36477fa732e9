"""The bundled torque units, as a plugin manager sees them and as people spell them."""

from decimal import Decimal

import pluggy
import pytest

from torqueaudit import hooks
from torqueaudit.model.torque.units import NEWTON_METRE, TorqueUnit, UnitTable
from torqueaudit.plugin.commands import unit_table
from torqueaudit_plugins import imperial_units, metric_units

UNITS = unit_table()


def test_the_hook_torque_units_gathers_the_units_of_both_plugins() -> None:
    """Called through the hook, the two plugins bring eleven units, and no two of them share a spelling."""
    manager = pluggy.PluginManager("torqueaudit")
    manager.add_hookspecs(hooks)
    manager.register(metric_units)
    manager.register(imperial_units)
    manager.check_pending()
    brought: list[TorqueUnit] = [unit for units in manager.hook.torque_units() for unit in units]

    metric = ["N·cm", "N·m", "cN·m", "dN·m", "daN·m", "gf·cm", "kgf·cm", "kgf·m"]
    expected = sorted([*metric, "lbf·ft", "lbf·in", "mN·m", "ozf·in"])
    actual = sorted(unit.symbol for unit in UnitTable([NEWTON_METRE, *brought]).units)

    assert expected == actual


@pytest.mark.parametrize(
    ("symbol", "spellings"),
    [
        ("N·m", ["Nm", "N·m", "N-m", "N.m", "nm"]),
        ("kgf·m", ["kgf-m", "kg-m", "mkg", "m·kg", "kgm", "KGF·M", "kgf.m", "kpm", "m-kgf"]),
        ("kgf·cm", ["kgf·cm", "kg-cm", "cmkg", "kgcm", "kpcm"]),
        ("dN·m", ["dNm", "dN·m", "dn-m"]),
        ("cN·m", ["cNm", "cN·m"]),
        ("lbf·ft", ["lbf·ft", "ft-lb", "lb-ft", "ft·lbf", "ft-lbs", "lbs-ft", "ft. lb.", "ft.-lb.", "FT LB", "ftlb"]),
        ("lbf·in", ["lbf·in", "in-lb", "lb-in", "in.-lb.", "in·lbf", "in-lbs", "lbs.in"]),
        ("ozf·in", ["ozf·in", "oz-in", "in-oz", "in·ozf", "ozin"]),
    ],
)
def test_a_unit_is_known_by_what_manuals_print(symbol: str, spellings: list[str]) -> None:
    """Order of force and length, mass in place of force, plural and abbreviation point make no other unit."""
    expected = [symbol] * len(spellings)
    actual = [UNITS.parse(f"11 {spelling}").unit.symbol for spelling in spellings]

    assert expected == actual


@pytest.mark.parametrize(
    "spelling", ["lb", "lbs", "lbf", "kg", "kgf", "mN", "oz", "N", "ft", "hNm", "kNm", "in", "lb/ft"]
)
def test_half_a_unit_or_another_prefix_is_refused(spelling: str) -> None:
    """A bare lb, kg or mN could be anything; a prefix nobody entered is not guessed."""
    with pytest.raises(ValueError, match=f'"{spelling}" |more than one number and one unit'):
        UNITS.parse(f"80 {spelling}")


def test_a_sheet_with_coarse_secondary_units_disagrees_with_itself() -> None:
    """An invented sheet prints 60 N·m beside 6.0 kgf·m and 43 lbf·ft; it is 6.118 and 44.25."""
    governing = UNITS.parse("60 N·m")

    expected = [Decimal("6.118"), Decimal("44.25")]
    actual = [
        round(governing.convert(UNITS.unit("kgf·m")).value, 3),
        round(governing.convert(UNITS.unit("lb-ft")).value, 2),
    ]

    assert expected == actual
