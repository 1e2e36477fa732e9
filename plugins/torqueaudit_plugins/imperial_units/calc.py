"""Torque units built from pounds, ounces, feet and inches: lbf·ft, lbf·in, ozf·in.

"80 ft-lb", "80 lb-ft" and "80 lbf·ft" are all 80 pounds-force at one foot; a bare "80 lb" stays refused.
"""

from fractions import Fraction

from torqueaudit.plugin import TorqueUnit

POUND_FORCE = Fraction("4.4482216152605")  # in newtons: 0.45359237 kg at 9.80665 m/s², exactly
FOOT = Fraction("0.3048")  # in metres
INCH = FOOT / 12
OUNCES_IN_A_POUND = 16

IMPERIAL_UNITS = (
    TorqueUnit("lbf·ft", POUND_FORCE * FOOT, ("ft·lbf", "lb·ft", "ft·lb", "lbs·ft", "ft·lbs")),
    TorqueUnit("lbf·in", POUND_FORCE * INCH, ("in·lbf", "lb·in", "in·lb", "lbs·in", "in·lbs")),
    TorqueUnit("ozf·in", POUND_FORCE / OUNCES_IN_A_POUND * INCH, ("in·ozf", "oz·in", "in·oz")),
)
