"""Torque and clamp load, in the form in which VDI 2230-1 computes its table A1.

Every clamp load worked out from a torque is an estimate: friction alone makes it a third more or less. So it is a float
(decision 0013).
"""

from math import atan, pi, sqrt, tan
from typing import NamedTuple

from torqueaudit_plugins.clamp_load.calc.thread import Seat, Thread

UTILISATION = 0.9  # of the yield strength, by which VDI 2230-1 tabulates
SCATTER = 0.3  # of a clamp load worked out from a torque, either way; handbooks say 25 to 35 %
LEAST_FRICTION, MOST_FRICTION = 0.02, 0.6
HALVINGS = 40  # of finding a friction, to far more digits than any estimate supports
FLANK = 1.155  # 1/cos 30°, as VDI 2230-1 rounds it

# What a joint's condition lets one expect. Common practice; no source.
USUAL_FRICTION = {"dry": 0.14, "oiled": 0.12, "threadlocker": 0.14}
FRICTION_NOT_SAID = 0.14


class Joint(NamedTuple):
    """What decides between torque and clamp load: thread, seat, and the friction in the one and under the other."""

    thread: Thread
    seat: Seat
    thread_friction: float
    head_friction: float

    @property
    def lever_mm(self) -> float:
        """Torque over clamp load, in mm: d2/2 times the tangent of both angles, and D_Km/2 times head friction."""
        return self._thread_lever_mm + self.seat.friction_diameter_mm * self.head_friction / 2

    def preload_n(self, yield_mpa: float, utilisation: float = UTILISATION) -> float:
        """The clamp load at which tension and twist together use this much of the yield strength."""
        d0 = self.thread.d0_mm
        twist = 1.5 * (self.thread.d2_mm / d0) * tan(self._angle)
        return float(utilisation * yield_mpa / sqrt(1 + 3 * twist**2) * pi / 4 * d0**2)

    def torque_nm(self, clamp_load_n: float) -> float:
        """The torque that makes a clamp load."""
        return clamp_load_n * self.lever_mm / 1000

    def clamp_load_n(self, torque_nm: float) -> float:
        """The clamp load that a torque makes, below yield; an estimate."""
        return torque_nm * 1000 / self.lever_mm

    def share_of_yield(self, torque_nm: float, yield_mpa: float) -> float:
        """How much of the yield strength a torque uses, tension and twist together."""
        return torque_nm / self.torque_nm(self.preload_n(yield_mpa, 1))

    def slipperier(self) -> "Joint":
        """The same joint with both frictions so much lower that a torque makes the most of its estimated clamp load."""
        least, most = 0.0, 1.0
        for _ in range(HALVINGS):
            middle = (least + most) / 2
            lever = self._with(middle).lever_mm
            least, most = (middle, most) if lever * (1 + SCATTER) < self.lever_mm else (least, middle)
        return self._with(most)

    def _with(self, share: float) -> "Joint":
        return self._replace(thread_friction=self.thread_friction * share, head_friction=self.head_friction * share)

    @property
    def _thread_lever_mm(self) -> float:
        return self.thread.d2_mm / 2 * tan(self._angle)

    @property
    def _angle(self) -> float:
        """Helix angle and angle of friction together, in radians."""
        return atan(self.thread.pitch_mm / (pi * self.thread.d2_mm)) + atan(FLANK * self.thread_friction)


def scatter_n(clamp_load_n: float) -> tuple[float, float]:
    """Between what an estimated clamp load may lie."""
    return clamp_load_n * (1 - SCATTER), clamp_load_n * (1 + SCATTER)


def friction_text(joint: Joint) -> str:
    """The friction of a joint in words: "friction 0.12", "friction 0.12 in the thread, 0.2 under the head"."""
    text = f"friction {joint.thread_friction:g}"
    if joint.thread_friction != joint.head_friction:
        text += f" in the thread, {joint.head_friction:g} under the head"
    return text


def percent(share: float) -> str:
    """A share as no estimate supports more: "14 %"."""
    return f"{share * 100:.0f} %"


def usual_friction(condition: str) -> float:
    """The friction that a fastener's condition lets one expect."""
    return USUAL_FRICTION.get(condition, FRICTION_NOT_SAID)
