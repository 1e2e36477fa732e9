"""Torque units of older and smaller metric documents: kgf·m, kgf·cm, gf·cm, daN·m, dN·m, N·cm, cN·m, mN·m.

"11 kgf-m", "11 kg-m" and "11 mkg" are all 11 kilograms-force (9.80665 N each, the standard acceleration of free fall)
at one metre. Capitals say nothing, so "MNm" is a thousandth of a newton metre too: a million of them turn no bolt.
"""

from fractions import Fraction

from torqueaudit.plugin import TorqueUnit

KILOGRAM_FORCE = Fraction("9.80665")  # in newtons

METRIC_UNITS = (
    TorqueUnit(
        "kgf·m",
        KILOGRAM_FORCE,
        ("m·kgf", "kg·m", "m·kg", "kp·m", "m·kp", "kilogram force metre", "kilogram force meter", "kilopond metre"),
    ),
    TorqueUnit("kgf·cm", KILOGRAM_FORCE / 100, ("cm·kgf", "kg·cm", "cm·kg", "kp·cm", "cm·kp")),
    TorqueUnit("gf·cm", KILOGRAM_FORCE / 100_000, ("cm·gf", "g·cm", "cm·g")),
    TorqueUnit("daN·m", Fraction(10)),
    TorqueUnit("dN·m", Fraction(1, 10)),
    TorqueUnit("N·cm", Fraction(1, 100), ("newton centimetre", "newton centimeter")),
    TorqueUnit("cN·m", Fraction(1, 100)),
    TorqueUnit("mN·m", Fraction(1, 1000), ("millinewton metre", "millinewton meter")),
)
