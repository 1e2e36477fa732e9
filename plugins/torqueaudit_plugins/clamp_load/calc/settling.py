"""What a joint loses when its faces settle during the first rides (VDI 2230-1, 5.4.2.1)."""

from typing import NamedTuple

from torqueaudit_plugins.clamp_load.calc.clamp import percent

SEATS = 2  # under head and nut; a bolt in a tapped hole has one
INTERFACES = 1
ROUGHEST = 160.0  # µm, where the table of settling ends


class Row(NamedTuple):
    """How far faces settle under tension, in µm, below a mean roughness depth Rz in µm."""

    below_um: float
    thread_um: float
    seat_um: float
    interface_um: float


# VDI 2230-1 table 5, from memory.
ROWS = (Row(10, 3, 2.5, 1.5), Row(40, 3, 3, 2), Row(ROUGHEST, 3, 4, 3))


def settling_um(roughness_um: float, interfaces: int = INTERFACES, seats: int = SEATS) -> float:
    """How far a joint settles: its thread, its seats under head and nut, and the interfaces between its parts.

    Raises ValueError with a sentence for a roughness outside the table.
    """
    if not 0 < roughness_um <= ROUGHEST:
        raise ValueError(f"a roughness Rz lies above 0 and up to {ROUGHEST:g} µm, not at {roughness_um:g}")
    row = next((row for row in ROWS if roughness_um < row.below_um), ROWS[-1])
    return row.thread_um + seats * row.seat_um + interfaces * row.interface_um


def lost(loss: float, clamp_load_n: float) -> str:
    """How much of an estimated clamp load is lost: "14 %", or "all"."""
    return percent(loss / clamp_load_n) if loss < clamp_load_n else "all"


def loss_n(settled_um: float, bolt_mm_per_n: float, parts_mm_per_n: float) -> float:
    """F_Z = f_Z/(δ_S + δ_P): the clamp load that is lost when a joint of these resiliences settles so far."""
    return settled_um / 1000 / (bolt_mm_per_n + parts_mm_per_n)


class Settling(NamedTuple):
    """How far a joint settles, in µm, and how much it gives, in mm/N."""

    settled_um: float
    bolt_mm_per_n: float
    parts_mm_per_n: float

    @property
    def loss_n(self) -> float:
        """The clamp load it loses."""
        return loss_n(self.settled_um, self.bolt_mm_per_n, self.parts_mm_per_n)
