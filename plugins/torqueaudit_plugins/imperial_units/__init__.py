"""Torque units built from pounds, ounces, feet and inches."""

from torqueaudit.plugin import TorqueUnit, hookimpl
from torqueaudit_plugins.imperial_units.calc import IMPERIAL_UNITS


@hookimpl
def torque_units() -> list[TorqueUnit]:
    """The units of foot, inch and pound."""
    return list(IMPERIAL_UNITS)
