"""What turning a nut on adds to its torque, by how much bolt and parts give: an estimate, below yield.

ΔF = (angle/360°)·P/(δ_S + δ_P), and ΔM is ΔF times the lever of the same friction (VDI 2230-1).

Where no document states how much a joint gives, it is worked out of the clamped length. The bolt as in VDI 2230-1,
5.1.1 (from memory): a shank of the nominal diameter over the whole length, head 0.5·d, thread in the nut 0.5·d on the
minor section, nut 0.4·d, all of steel. The parts are taken to give as much as the bolt, as the tubes and inner rings on
an axle do, whose section is about its own (common practice, no source). A short stack of solid parts gives less, and
then turning on adds more: up to twice as much.
"""

from math import pi

from torqueaudit_plugins.clamp_load.calc.clamp import Joint
from torqueaudit_plugins.clamp_load.calc.thread import Thread

STEEL_MPA = 205_000  # Young's modulus, as VDI 2230-1 takes it
HEAD, IN_THE_NUT, NUT = 0.5, 0.5, 0.4  # lengths that give, in nominal diameters
FULL_TURN = 360


def bolt_mm_per_n(thread: Thread, clamped_mm: float) -> float:
    """δ_S of a steel bolt with a hexagon head and a nut, in mm/N."""
    nominal, minor = (pi / 4 * diameter**2 for diameter in (thread.d_mm, thread.d3_mm))
    shank_mm = clamped_mm + (HEAD + NUT) * thread.d_mm
    return float((shank_mm / nominal + IN_THE_NUT * thread.d_mm / minor) / STEEL_MPA)


def added_nm(joint: Joint, gives_mm_per_n: float, degrees: float) -> float:
    """The torque that turning on by so many degrees adds, where bolt and parts together give so much."""
    added_n = degrees / FULL_TURN * joint.thread.pitch_mm / gives_mm_per_n
    return joint.torque_nm(added_n)
