"""Two sprockets and a chain: what fits each other, the ratio, and how often the same link meets the same tooth.

Pitches are those of ISO 606 and ISO 10190. R = p/(2·sin(π/z)) is the pitch circle's radius: z chords of one pitch.
"""

from decimal import Decimal
from fractions import Fraction
from math import gcd, isfinite, pi, sin
from typing import NamedTuple

PITCHES_MM = {
    "420": Decimal("12.70"),
    "428": Decimal("12.70"),
    "520": Decimal("15.875"),
    "525": Decimal("15.875"),
    "530": Decimal("15.875"),
}
LEAST_TEETH, MOST_TEETH = 6, 150
LEAST_PITCH_MM, MOST_PITCH_MM = 5, 50
MOST_LINKS = 1000


class Drive(NamedTuple):
    """Teeth of the front and of the rear sprocket, and the chain's pitch in mm; made by `drive_of`."""

    front: int
    rear: int
    pitch_mm: float

    @property
    def front_radius_mm(self) -> float:
        """Of the front pitch circle."""
        return self.pitch_mm / (2 * sin(pi / self.front))

    @property
    def rear_radius_mm(self) -> float:
        """Of the rear pitch circle."""
        return self.pitch_mm / (2 * sin(pi / self.rear))

    @property
    def touching_mm(self) -> float:
        """The centre distance at which the pitch circles touch."""
        return self.front_radius_mm + self.rear_radius_mm


def drive_of(front: int, rear: int, pitch_mm: float) -> Drive:
    """The drive of two sprockets and a chain. Raises ValueError, with a sentence, where there is none such."""
    require_teeth(front, "front")
    require_teeth(rear, "rear")
    require_pitch(pitch_mm)
    return Drive(front, rear, float(pitch_mm))


def require_teeth(teeth: int, which: str) -> None:
    """Raise ValueError, with a sentence, for a number of teeth that no sprocket of a motorcycle has."""
    if not LEAST_TEETH <= teeth <= MOST_TEETH:
        raise ValueError(
            f"teeth of the {which} sprocket: {teeth} is no number that a chain runs on; count again, "
            f"{LEAST_TEETH} to {MOST_TEETH} are known"
        )


def require_pitch(pitch_mm: float | Decimal) -> None:
    """Raise ValueError, with a sentence, for a pitch that no chain of a motorcycle has."""
    if not (isfinite(pitch_mm) and LEAST_PITCH_MM <= pitch_mm <= MOST_PITCH_MM):
        raise ValueError(
            f"a pitch of {pitch_mm} mm is no motorcycle chain's; "
            f"{PITCHES_MM['520']} mm and {PITCHES_MM['428']} mm are usual"
        )


def require_links(links: int) -> None:
    """Raise ValueError, with a sentence, for a number of links that no closed chain has."""
    if not 0 < links <= MOST_LINKS:
        raise ValueError(f"a chain of {links} links is none; count again")
    if links % 2:
        raise ValueError(
            f"a chain of {links} links cannot be closed: inner and outer links take turns, so the number is even; "
            f"take {links - 1} or {links + 1}"
        )


def pitch_of(chain: str) -> Decimal:
    """The pitch in mm of a chain size such as "520". Raises ValueError with a sentence that lists the known sizes."""
    if chain not in PITCHES_MM:
        known = ", ".join(PITCHES_MM)
        raise ValueError(f'"{chain[:20]}" is no chain size known here; known are {known}, else give the pitch')
    return PITCHES_MM[chain]


def ratio(front: int, rear: int) -> Fraction:
    """How often the front sprocket turns while the rear one turns once, rear/front."""
    return Fraction(rear, front)


def ratio_change_percent(old: Fraction, new: Fraction) -> Fraction:
    """By how much the ratio rises, which is what a speed reading taken at the gearbox rises by at the same speed."""
    return (new / old - 1) * 100


def turns_to_meet_again(teeth: int, links: int) -> int:
    """After how many turns of a sprocket the same tooth meets the same link, N/gcd(z, N)."""
    return links // gcd(teeth, links)
