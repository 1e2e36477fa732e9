"""What the calculators `convert` and `setting` share."""

from torqueaudit.model.torque.units import UnitTable
from torqueaudit.plugins import load_plugins


def unit_table() -> UnitTable:
    """N·m and the units of every installed plugin."""
    return load_plugins().units
