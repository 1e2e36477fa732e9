"""Torque units of older and smaller metric documents."""

from torqueaudit.plugin import TorqueUnit, hookimpl
from torqueaudit_plugins.metric_units.calc import METRIC_UNITS


@hookimpl
def torque_units() -> list[TorqueUnit]:
    """The metric units beside N·m."""
    return list(METRIC_UNITS)
