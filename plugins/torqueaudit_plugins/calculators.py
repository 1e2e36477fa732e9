"""What the calculators `convert` and `setting` share."""

from torqueaudit.model.units import NEWTON_METRE, UnitTable
from torqueaudit_plugins import imperial_units, metric_units


def unit_table() -> UnitTable:
    """N·m and the bundled units."""
    return UnitTable((NEWTON_METRE, *metric_units.torque_units(), *imperial_units.torque_units()))
