"""Chain adjusters: turns and flats for a movement of the axle, and what the travel that is left says of wear."""

from math import isfinite
from typing import NamedTuple

from torqueaudit_plugins.final_drive.calc.length import centre_at, straight_run_mm
from torqueaudit_plugins.final_drive.calc.sprockets import Drive

FLATS = 6  # of a hexagon
LEAST_THREAD_MM, MOST_THREAD_MM = 0.2, 6
MOST_TRAVEL_MM = 500


class Turns(NamedTuple):
    """How far both adjusters are turned, in turns; below zero where the axle goes forward."""

    turns: float

    @property
    def flats(self) -> float:
        """The same in flats of a hexagon, six to a turn."""
        return self.turns * FLATS

    def says(self) -> str:
        """Whole turns and flats to a tenth, without direction: "1 turn and 2.1 flats"."""
        whole, tenths = divmod(round(abs(self.flats) * 10), FLATS * 10)
        flats = f"{tenths / 10:g} {'flat' if tenths == 10 else 'flats'}"  # noqa: PLR2004 -- ten tenths
        if not whole:
            return flats
        turns = f"{whole} {'turn' if whole == 1 else 'turns'}"
        return f"{turns} and {flats}" if tenths else turns


class WearLeft(NamedTuple):
    """Between which two wears in percent an adjuster's travel is used up."""

    least_percent: float
    most_percent: float


def turns_for(axle_mm: float, thread_pitch_mm: float) -> Turns:
    """Turns of an adjuster for a movement of the axle. Raises ValueError, with a sentence, for a pitch that is none."""
    if not (isfinite(thread_pitch_mm) and LEAST_THREAD_MM <= thread_pitch_mm <= MOST_THREAD_MM):
        raise ValueError(
            f"an adjuster of {thread_pitch_mm:g} mm thread pitch is none; 1.25 mm is usual on an M8 thread"
        )
    if not (isfinite(axle_mm) and abs(axle_mm) <= MOST_TRAVEL_MM):
        raise ValueError(f"an axle movement of {axle_mm:g} mm is more than any adjuster has")
    return Turns(axle_mm / thread_pitch_mm)


def wear_for_travel(drive: Drive, links: int, travel_mm: float) -> WearLeft:
    """How much further wear uses up the travel that is left at the same slack; an estimate between two ends.

    Where the rollers stay at the roots of the teeth, only the chain grows: w = 2·cos β·T/(N·p). Where they ride up the
    teeth as far as the chain is longer, the whole drive grows with it: w = T/C. A worn chain lies between the two.
    Raises ValueError, with a sentence, for a travel or a chain that is none.
    """
    if not (isfinite(travel_mm) and 0 <= travel_mm <= MOST_TRAVEL_MM):
        raise ValueError(f"an adjuster travel of {travel_mm:g} mm is none; measure in mm what is left to the end")
    centre = centre_at(drive, links)
    rooted = 200 * travel_mm * straight_run_mm(drive, centre) / centre / (links * drive.pitch_mm)
    return WearLeft(rooted, 100 * travel_mm / centre)
