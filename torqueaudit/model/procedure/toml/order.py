"""What has to hold between the parts of a procedure: keys known and used once, order and re-check plan possible."""

from collections.abc import Iterable, Mapping
from graphlib import CycleError, TopologicalSorter

from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.procedure.kinds import OwnedKind
from torqueaudit.model.procedure.part_kinds import OwnedPartKind
from torqueaudit.model.procedure.procedure import (
    DIMENSION,
    THREADLOCKER,
    Fastener,
    Fit,
    Measurement,
    RecheckPlan,
    Step,
    Work,
)
from torqueaudit.model.procedure.toml.values import SHORT_NAME, Table
from torqueaudit.model.procedure.words import FIELDS
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE

Told = tuple[Table, Work]


def look_at_keys(told: Iterable[Told]) -> None:
    """Note every key, position or name that a second item claims."""
    taken: dict[str, str] = {}
    names_of: dict[str, str] = {}
    for table, item in told:
        if item.name and names_of.setdefault(item.name, item.key) != item.key:
            # One sentence, and one concession, must speak of one thing.
            table.wrong("name", f'"{item.name}" is also the name of {names_of[item.name]}; give each a name of its own')
        names = (item.key, *item.positions) if isinstance(item, Fastener) else (item.key,)
        for name in dict.fromkeys(names):
            if name and name in taken:
                says = f'"{name}" is used twice, here and by {taken[name]}; each position has one key'
                typed = f"“{name}” is the {SHORT_NAME} of “{taken[name]}” too; take one out, or tell another name"
                table.wrong("", says, f"{typed} and {SHORT_NAME}")
            taken.setdefault(name, item.name or item.key)


def look_at_order(told: tuple[Told, ...]) -> None:
    """Note every `after` that names nothing, the item itself, something later, or goes round in a circle."""
    place = {item.key: index for index, (_, item) in enumerate(told)}
    table_of = {item.key: table for table, item in told}
    before: dict[str, list[str]] = {}
    for table, item in told:
        for key in item.after:
            if key == item.key:
                table.wrong("after", "names the item itself")
            elif key not in place:
                table.wrong("after", _unknown(key, told))
        before[item.key] = [key for key in item.after if key in place and key != item.key]
    for circle in _circles(before):
        first = min(circle, key=place.__getitem__)
        table_of[first].wrong("after", f"goes round in a circle: {' after '.join((*circle, circle[0]))}")
    for key, others in before.items():
        for late in (other for other in others if place[other] > place[key]):
            says = f'"{late}" stands later in the file; write the work in the order it is done'
            table_of[key].wrong("after", says, f"“{late}” is done later; move one of them")


def look_at_measurements(told: tuple[Told, ...]) -> None:
    """Note every `again_after` that names no fastener."""
    fasteners = {item.key for _, item in told if isinstance(item, Fastener)}
    for table, item in told:
        for key in item.again_after if isinstance(item, Measurement) else ():
            if key not in fasteners:
                table.wrong("again_after", f'"{key}" is no fastener here; {did_you_mean(key, fasteners)}')


def look_at_covers(told: tuple[Told, ...]) -> None:
    """Note every `covers` that names no fastener, or one that the step does not name in `after` too."""
    fasteners = {item.key for _, item in told if isinstance(item, Fastener)}
    for table, item in told:
        for key in item.covers if isinstance(item, Step) else ():
            if key not in fasteners:
                table.wrong("covers", f'"{key}" is no fastener here; {did_you_mean(key, fasteners)}')
            elif key not in item.after:
                says = f'"{key}" comes before what covers it;'
                typed = f"{says} tick it at “{FIELDS['after']}” as well"
                table.wrong("covers", f"{says} write it in after as well", typed)


def look_at_kinds(told: tuple[Told, ...], kinds: Mapping[str, OwnedKind]) -> tuple[str, ...]:
    """Note every kind of measurement that nobody knows, or that is in none of its units; the plugins it needs."""
    needed: list[str] = []
    for table, item in told:
        if not isinstance(item, Measurement) or item.kind == DIMENSION:
            continue
        owned = kinds.get(item.kind)
        if owned is None:
            table.wrong("kind", f'"{item.kind}" is known to no plugin; {did_you_mean(item.kind, [DIMENSION, *kinds])}')
            continue
        needed.append(owned.plugin)
        if item.unit and item.unit not in owned.kind.units:
            says = f'{item.kind} comes out in {" or ".join(owned.kind.units)}, not in "{item.unit}"'
            table.wrong("unit" if table.has("unit") else "kind", says)
    return tuple(dict.fromkeys(needed))


def look_at_part_kinds(told: tuple[Told, ...], kinds: Mapping[str, OwnedPartKind]) -> tuple[str, ...]:
    """Note every kind of part that nobody knows, and every attribute that its kind lacks; the plugins it needs."""
    needed: list[str] = []
    for table, item in told:
        if not isinstance(item, Fit) or not item.kind:
            continue
        owned = kinds.get(item.kind)
        if owned is None:
            table.wrong("kind", f'"{item.kind}" is known to no plugin; {did_you_mean(item.kind, kinds)}')
            continue
        needed.append(owned.plugin)
        known = [attribute.name for attribute in owned.kind.attributes]
        for name in item.attributes:
            if name not in known:
                table.wrong("attributes", f'"{name}" is no attribute of a {item.kind}; {did_you_mean(name, known)}')
    return tuple(dict.fromkeys(needed))


def look_at_recheck(table: Table, plan: RecheckPlan, work: tuple[Work, ...]) -> None:
    """Note what the plan names that is not there, not marked, or never turned again."""
    fasteners = {item.key: item for item in work if isinstance(item, Fastener)}
    measurements = {item.key for item in work if isinstance(item, Measurement)}
    for field, keys, known in (
        ("marks", plan.marks, fasteners.keys()),
        ("torques", plan.torques, fasteners.keys()),
        ("measurements", plan.measurements, measurements),
    ):
        for key in keys:
            if key not in known:
                table.wrong(field, f'"{key}" is not known here; {did_you_mean(key, known)}')
    for key in (key for key in plan.marks if key in fasteners and not fasteners[key].mark):
        says = f'"{key}" is never marked;'
        table.wrong("marks", f"{says} write mark = true there", f"{says} tick its {FIELDS['mark']}")
    for key in (key for key in plan.torques if key in fasteners):
        if fasteners[key].condition == THREADLOCKER:
            table.wrong("torques", f'"{key}" is threadlocked: turning it again breaks the bond')
        if fasteners[key].specification.method == TORQUE_AND_ANGLE:
            table.wrong("torques", f'"{key}" is tightened by angle: a torque found later says nothing of it')


def _unknown(key: str, told: tuple[Told, ...]) -> str:
    for _, item in told:
        if isinstance(item, Fastener) and key in item.positions:
            return f'"{key}" is one of a group; name the group, "{item.key}"'
    return f'"{key}" is not known here; {did_you_mean(key, [item.key for _, item in told])}'


def _circles(before: dict[str, list[str]]) -> list[tuple[str, ...]]:
    """Each circle as its keys, every one after the next; the links of a circle are taken out of `before`."""
    found = []
    while True:
        try:
            TopologicalSorter(before).prepare()
        except CycleError as error:
            circle = tuple(reversed(error.args[1][1:]))
            found.append(circle)
            for key, other in zip(circle, (*circle[1:], circle[0]), strict=True):
                before[key].remove(other)
        else:
            return found
