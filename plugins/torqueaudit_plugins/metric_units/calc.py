"""Torque units of older and smaller metric documents: kgf·m, kgf·cm, dN·m, cN·m.

"11 kgf-m", "11 kg-m" and "11 mkg" are all 11 kilograms-force (9.80665 N each, the standard acceleration of free fall)
at one metre.
"""

from fractions import Fraction

from torqueaudit.plugin import TorqueUnit

KILOGRAM_FORCE = Fraction("9.80665")  # in newtons

METRIC_UNITS = (
    TorqueUnit("kgf·m", KILOGRAM_FORCE, ("m·kgf", "kg·m", "m·kg", "kp·m", "m·kp")),
    TorqueUnit("kgf·cm", KILOGRAM_FORCE / 100, ("cm·kgf", "kg·cm", "cm·kg", "kp·cm", "cm·kp")),
    TorqueUnit("dN·m", Fraction(1, 10)),
    TorqueUnit("cN·m", Fraction(1, 100)),
)
