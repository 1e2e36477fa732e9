"""`torque_units`: a plugin whose units cannot be used is refused with all of them."""

from collections.abc import Callable

from torqueaudit.plugins import Plugins

Written = Callable[..., Plugins]


def test_a_unit_that_another_has_is_refused_with_its_plugin(written: Written) -> None:
    """The others stay readable."""
    unit = "from fractions import Fraction\nfrom torqueaudit.model.torque.units import TorqueUnit\n"
    plugins = written(units=unit + "@hookimpl\ndef torque_units():\n    return [TorqueUnit('N·m', Fraction(2))]\n")

    assert plugins.states["units"].state.startswith("its units were refused: ")
    assert ["units"] == [trouble.name for trouble in plugins.trouble()]
    assert plugins.units.parse("80 lbf·ft").nm > plugins.units.parse("80 N·m").nm
