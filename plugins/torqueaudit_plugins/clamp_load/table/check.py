"""Looking at `[x.clamp_load]` when a procedure is entered; apart from `joints`, which every shown job reads."""

from torqueaudit.plugin import Fastener, Table, Work, did_you_mean
from torqueaudit_plugins.clamp_load.calc.settling import SEATS
from torqueaudit_plugins.clamp_load.calc.thread import SEATS as SEAT_OF
from torqueaudit_plugins.clamp_load.calc.thread import read_thread
from torqueaudit_plugins.clamp_load.table.joints import DIAMETERS, LIMITS, MOST_INTERFACES, RESILIENCES


def look_at_joints(table: Table, work: tuple[Work, ...]) -> None:
    """Note every mistake in a procedure's `[x.clamp_load]`."""
    fasteners = {item.key: item for item in work if isinstance(item, Fastener)}
    for key in table.written():
        joint = table.inner(key)
        if key not in fasteners:
            table.wrong(key, f'"{key}" is no fastener of this procedure; {did_you_mean(key, fasteners)}')
        else:
            _look_at_joint(joint, fasteners[key])


def _look_at_joint(table: Table, fastener: Fastener) -> None:
    for key, (least, most) in LIMITS.items():
        number = table.number(key)
        if number is not None and not least <= float(number) <= most:
            table.wrong(key, f"has to lie between {least:g} and {most:g}")
    table.whole("interfaces", 0, MOST_INTERFACES)
    table.whole("seats", 1, SEATS)
    _look_at_pairs(table)
    _look_at_fastener(table, fastener)
    table.finish()


def _look_at_pairs(table: Table) -> None:
    settles = [key for key in (*RESILIENCES, "roughness_um", "settling_um") if table.has(key)]
    if settles and not (all(map(table.has, RESILIENCES)) and table.has("roughness_um") != table.has("settling_um")):
        table.wrong("", f"settling needs {' and '.join(RESILIENCES)}, and one of roughness_um and settling_um")
    if table.has("settling_um") and (table.has("interfaces") or table.has("seats")):
        table.wrong("settling_um", "is the whole of it; interfaces and seats belong to roughness_um")
    if table.has(DIAMETERS[0]) != table.has(DIAMETERS[1]):
        table.wrong("", f"{' and '.join(DIAMETERS)} belong together")
    bearing, hole = (table.number(key) for key in DIAMETERS)
    if bearing and hole and hole >= bearing:
        table.wrong(DIAMETERS[1], f"has to be smaller than {DIAMETERS[0]}")
    if not table.written():
        table.wrong("", "says nothing; write what is known of the joint, or leave it out")


def _look_at_fastener(table: Table, fastener: Fastener) -> None:
    if fastener.specification.angle is not None:
        table.wrong("", "is tightened by angle, so its torque says nothing of its clamp load")
    try:
        thread = read_thread(fastener.thread)
    except ValueError as error:
        table.wrong("", f"needs a metric thread on the fastener ({error})")
        return
    if thread.d_mm not in SEAT_OF and not table.has(DIAMETERS[0]):
        table.wrong("", f"the seat of {thread.name} is not known here; write {' and '.join(DIAMETERS)}")
