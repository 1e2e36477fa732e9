"""Torque units built from pounds, ounces, feet and inches: lbf·ft, lbf·in, ozf·in.

"80 ft-lb", "80 lb-ft" and "80 lbf·ft" are all 80 pounds-force at one foot; a bare "80 lb" stays refused.
"""

from fractions import Fraction

from torqueaudit.plugin import TorqueUnit

POUND_FORCE = Fraction("4.4482216152605")  # in newtons: 0.45359237 kg at 9.80665 m/s², exactly
FOOT = Fraction("0.3048")  # in metres
INCH = FOOT / 12
OUNCES_IN_A_POUND = 16

_FEET = "ft·lbf, lb·ft, ft·lb, lbs·ft, ft·lbs, ft·pounds, foot pound, foot pounds, pound foot, pound feet, pounds feet"
_INCHES = (
    "in·lbf, lb·in, in·lb, lbs·in, in·lbs, inch·lbf, inch·lb, inch·lbs, lb·inch, lbf·inch, inch pound, inch pounds, "
    "pound inch, pound inches"
)
_OUNCES = "in·ozf, oz·in, in·oz, inch·oz, oz·inch, ounce inch, ounce inches, inch ounce, inch ounces"

IMPERIAL_UNITS = (
    TorqueUnit("lbf·ft", POUND_FORCE * FOOT, tuple(_FEET.split(", "))),
    TorqueUnit("lbf·in", POUND_FORCE * INCH, tuple(_INCHES.split(", "))),
    TorqueUnit("ozf·in", POUND_FORCE / OUNCES_IN_A_POUND * INCH, tuple(_OUNCES.split(", "))),
)
