"""Metric screw threads: what is written, and the geometry that strength and torque are worked out from."""

import re
from math import pi
from typing import NamedTuple

# Nominal diameter: pitch of the coarse thread, mm (ISO 261 and ISO 262, from memory).
COARSE = {
    1.6: 0.35,
    2.0: 0.4,
    2.5: 0.45,
    3.0: 0.5,
    4.0: 0.7,
    5.0: 0.8,
    6.0: 1.0,
    7.0: 1.0,
    8.0: 1.25,
    10.0: 1.5,
    12.0: 1.75,
    14.0: 2.0,
    16.0: 2.0,
    18.0: 2.5,
    20.0: 2.5,
    22.0: 2.5,
    24.0: 3.0,
    27.0: 3.0,
    30.0: 3.5,
    33.0: 3.5,
    36.0: 4.0,
    39.0: 4.0,
}
FINEST = 0.2  # mm; no standard thread is finer

_NUMBER = r"[0-9]{1,2}(?:[.,][0-9]{1,3})?"
_WRITTEN = re.compile(rf"M\s*(?P<d>{_NUMBER})(?:\s*[x\u00d7*]\s*(?P<pitch>{_NUMBER}))?", re.IGNORECASE)


class Seat(NamedTuple):
    """What a head or nut bears on, in mm: the outer diameter of its bearing face and the hole under it."""

    bearing_mm: float
    hole_mm: float

    @property
    def friction_diameter_mm(self) -> float:
        """D_Km: at which diameter the friction under the head acts (VDI 2230-1)."""
        return (self.bearing_mm + self.hole_mm) / 2


# Nominal diameter: hexagon head or nut (d_w of ISO 4014 and ISO 4032) on a medium hole (d_h of ISO 273). From memory,
# and held against the torques of VDI 2230-1 table A1 in the tests.
SEATS = {
    6.0: Seat(8.88, 6.6),
    8.0: Seat(11.63, 9.0),
    10.0: Seat(14.63, 11.0),
    12.0: Seat(16.63, 13.5),
    14.0: Seat(19.37, 15.5),
    16.0: Seat(22.49, 17.5),
    18.0: Seat(25.34, 20.0),
    20.0: Seat(28.19, 22.0),
    22.0: Seat(31.71, 24.0),
    24.0: Seat(33.61, 26.0),
}


class Thread(NamedTuple):
    """A metric thread: nominal diameter and pitch in mm. Factors as in ISO 724 and ISO 898-1, 9.1.6.1."""

    d_mm: float
    pitch_mm: float

    @property
    def d2_mm(self) -> float:
        """The pitch diameter, rounded to 3 decimals as ISO 724 prints it and VDI 2230-1 computes with it."""
        return round(self.d_mm - 0.649519053 * self.pitch_mm, 3)

    @property
    def d3_mm(self) -> float:
        """The minor diameter of the bolt's thread, rounded in the same way."""
        return round(self.d_mm - 1.226869322 * self.pitch_mm, 3)

    @property
    def d0_mm(self) -> float:
        """The diameter of the stress cross-section as VDI 2230-1 takes it."""
        return (self.d2_mm + self.d3_mm) / 2

    @property
    def stress_area_mm2(self) -> float:
        """A_s, from which a proof load is worked out."""
        return float(pi / 4 * (self.d_mm - 0.938194187 * self.pitch_mm) ** 2)

    @property
    def name(self) -> str:
        """As ISO 965-1 writes it: "M12" for the coarse thread, "M12x1.25" for a fine one."""
        fine = "" if COARSE.get(self.d_mm) == self.pitch_mm else f"x{self.pitch_mm:g}"
        return f"M{self.d_mm:g}{fine}"


def read_thread(text: str) -> Thread:
    """Read "M12", "M12x1.25", "M12×1.25" or "M 12 x 1,25".

    Raises ValueError with a sentence for anything else, for a size without a coarse pitch when none is written, and
    for a pitch that such a thread cannot have.
    """
    written = _WRITTEN.fullmatch(text.strip())
    if written is None:
        raise ValueError(f'"{text[:40]}" is no metric thread; write it like M12 for the coarse one, or M12x1.25')
    d = _number(written["d"])
    if not min(COARSE) <= d <= max(COARSE):
        raise ValueError(f"M{d:g} is outside M1.6 to M39, the sizes that property classes hold for")
    if written["pitch"] is None:
        if d not in COARSE:
            raise ValueError(f"M{d:g} has no coarse pitch known here; write the pitch too, like M{d:g}x1")
        return Thread(d, COARSE[d])
    pitch, most = _number(written["pitch"]), COARSE.get(d, d / 4)
    if not FINEST <= pitch <= most:
        raise ValueError(f"M{d:g}x{pitch:g}: a pitch of M{d:g} lies between {FINEST:g} and {most:g} mm; read it again")
    return Thread(d, pitch)


def _number(text: str) -> float:
    return float(text.replace(",", "."))
