"""Type and class of a torque tool, and what ISO 6789-1:2017 asks of each: values from memory, not read in the standard.

Type I indicates and type II is set. The permissible deviation is ±6 % for the wide classes, and for the others by the
tool's maximum.
"""

from collections.abc import Mapping
from typing import NamedTuple

BAR, SCREWDRIVER, OTHER = "torsion or flexion bar", "screwdriver", "other"
SETTING, INDICATING = "setting", "indicating"
KINDS_OF_TYPES = {"I": INDICATING, "II": SETTING}
READINGS = 5  # at each point
READINGS_UNGRADUATED = 10  # each with the setting turned away and back


class IsoClass(NamedTuple):
    """A class: what such a tool is, its construction, whether it may be off by 6 % above 10 N·m, readings at a point.

    A `fixed` one is adjusted to one torque and calibrated there alone.
    """

    says: str
    construction: str = OTHER
    wide: bool = False
    readings: int = READINGS
    fixed: bool = False


CLASSES: Mapping[str, IsoClass] = {
    "I A": IsoClass("wrench with torsion or flexion bar", BAR, wide=True),
    "I B": IsoClass("wrench with rigid housing and a scale, dial or display"),
    "I C": IsoClass("wrench with rigid housing and electronic measurement"),
    "I D": IsoClass("screwdriver with a scale, dial or display", SCREWDRIVER, wide=True),
    "I E": IsoClass("screwdriver with electronic measurement", SCREWDRIVER),
    "II A": IsoClass("wrench, adjustable, graduated or with a display"),
    "II B": IsoClass("wrench with fixed adjustment", fixed=True),
    "II C": IsoClass("wrench, adjustable, not graduated", readings=READINGS_UNGRADUATED),
    "II D": IsoClass("screwdriver, adjustable, graduated or with a display", SCREWDRIVER, wide=True),
    "II E": IsoClass("screwdriver with fixed adjustment", SCREWDRIVER, wide=True, fixed=True),
    "II F": IsoClass("screwdriver, adjustable, not graduated", SCREWDRIVER, wide=True, readings=READINGS_UNGRADUATED),
    "II G": IsoClass("wrench with flexion bar, adjustable, graduated", BAR, wide=True),
}
