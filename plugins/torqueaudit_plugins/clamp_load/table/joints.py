"""The table `[x.clamp_load]` of a procedure: what its author states of a joint, by the fastener's key.

[x.clamp_load.rear-axle-nut]
friction_thread = 0.14
friction_head = 0.14
bolt_resilience_mm_per_n = 4.5e-6
part_resilience_mm_per_n = 1.5e-6
roughness_um = 16
interfaces = 8
clamped_length_mm = 240
"""

from collections.abc import Mapping
from typing import Any

from torqueaudit.plugin import Fastener, Procedure
from torqueaudit_plugins.clamp_load.calc.clamp import LEAST_FRICTION, MOST_FRICTION, Joint, usual_friction
from torqueaudit_plugins.clamp_load.calc.settling import INTERFACES, ROUGHEST, SEATS, Settling, settling_um
from torqueaudit_plugins.clamp_load.calc.thread import SEATS as SEAT_OF
from torqueaudit_plugins.clamp_load.calc.thread import Seat, read_thread
from torqueaudit_plugins.clamp_load.calc.turning import bolt_mm_per_n

NAME = "clamp_load"
SOFTEST, STIFFEST = 1e-3, 1e-8  # mm/N; a rubber mount, and nothing that a hand could lift
MOST_SETTLING = 200.0  # µm
WIDEST = 100.0  # mm, of a bearing face
MOST_INTERFACES = 30
SHORTEST, LONGEST = 1.0, 1000.0  # mm, of what a bolt clamps

FRICTIONS = ("friction_thread", "friction_head")
RESILIENCES = ("bolt_resilience_mm_per_n", "part_resilience_mm_per_n")
CLAMPED = "clamped_length_mm"
DIAMETERS = ("bearing_diameter_mm", "hole_diameter_mm")
LIMITS = {
    **dict.fromkeys(FRICTIONS, (LEAST_FRICTION, MOST_FRICTION)),
    **dict.fromkeys(RESILIENCES, (STIFFEST, SOFTEST)),
    **dict.fromkeys(DIAMETERS, (1.0, WIDEST)),
    CLAMPED: (SHORTEST, LONGEST),
    "roughness_um": (0.01, ROUGHEST),
    "settling_um": (0.01, MOST_SETTLING),
}


def stated(procedure: Procedure, key: str) -> Mapping[str, Any]:
    """What the procedure states of one fastener's joint, empty where nothing."""
    found = procedure.x.get(NAME, {}).get(key, {})
    return found if isinstance(found, Mapping) else {}


def joint_of(procedure: Procedure, fastener: Fastener, usual: float | None = None) -> Joint:
    """The joint, with `usual` friction, else that of the fastener's condition, where the procedure states none.

    Raises ValueError with a sentence where thread or seat are not known.
    """
    thread, said = read_thread(fastener.thread), stated(procedure, fastener.key)
    unsaid = usual_friction(fastener.condition) if usual is None else usual
    frictions = (number_of(said, key) if key in said else unsaid for key in FRICTIONS)
    if DIAMETERS[0] in said:
        seat = Seat(*(number_of(said, key) for key in DIAMETERS))
    elif thread.d_mm in SEAT_OF:
        seat = SEAT_OF[thread.d_mm]
    else:
        raise ValueError(f"the seat of {thread.name} is not known")
    return Joint(thread, seat, *frictions)


def count_of(said: Mapping[str, Any], key: str, usual: int, most: int) -> int:
    """A whole number of the table, `usual` where it is left out. Raises ValueError as `number_of` does."""
    count = said.get(key, usual)
    if not isinstance(count, int) or not 0 <= count <= most:
        raise ValueError(f"{key} is no whole number up to {most}")
    return count


def number_of(said: Mapping[str, Any], key: str) -> float:
    """A number of the table as the ledger holds it.

    Raises ValueError with a sentence for what it may not be: it may have been entered without this plugin.
    """
    least, most = LIMITS[key]
    try:
        number = float(said[key])
    except (KeyError, TypeError):
        number = 0
    if not least <= number <= most:
        raise ValueError(f"{key} does not lie between {least:g} and {most:g}")
    return number


def gives_of(procedure: Procedure, fastener: Fastener) -> float | None:
    """How much bolt and parts together give, in mm/N: as stated, else by the clamped length; None where neither is.

    Raises ValueError with a sentence for what the table may not hold.
    """
    said = stated(procedure, fastener.key)
    if RESILIENCES[0] in said:
        return sum(number_of(said, key) for key in RESILIENCES)
    if CLAMPED not in said:
        return None
    return 2 * bolt_mm_per_n(read_thread(fastener.thread), number_of(said, CLAMPED))


def settling_of(procedure: Procedure, fastener: Fastener) -> Settling | None:
    """How the joint settles, None where the procedure does not state it. Raises ValueError for what it may not hold."""
    said = stated(procedure, fastener.key)
    if RESILIENCES[0] not in said:
        return None
    if "settling_um" in said:
        settled = number_of(said, "settling_um")
    else:
        interfaces = count_of(said, "interfaces", INTERFACES, MOST_INTERFACES)
        settled = settling_um(number_of(said, "roughness_um"), interfaces, count_of(said, "seats", SEATS, SEATS))
    return Settling(settled, *(number_of(said, key) for key in RESILIENCES))
