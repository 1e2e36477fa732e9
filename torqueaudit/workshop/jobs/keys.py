"""Keys of a job's or a procedure's work that are not found: refused with the one that was probably meant."""

from collections.abc import Iterable

from torqueaudit.model.act import Refused
from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.procedure.procedure import Fastener, Fit, Measurement, Procedure, Step

FASTENER, STEP, MEASUREMENT, PART = "fastener", "step", "measurement", "part"
_WHAT = {Fastener: FASTENER, Step: STEP, Measurement: MEASUREMENT, Fit: PART}


def fasteners_meant(procedure: Procedure, keys: Iterable[str]) -> list[str]:
    """The fasteners that keys mean, in the order of the work; one bolt of a group means all of it. Raises Refused."""
    meant = {_fastener(procedure, key).key for key in keys}
    return [fastener.key for fastener in procedure.fasteners() if fastener.key in meant]


def _fastener(procedure: Procedure, key: str) -> Fastener:
    known = procedure.fasteners()
    for fastener in known:
        if key in (fastener.key, *fastener.positions):
            return fastener
    raise no_such(procedure, procedure.name, key, FASTENER, [fastener.key for fastener in known])


def no_such(procedure: Procedure, whose: str, key: str, what: str, known: Iterable[str]) -> Refused:
    """Why a key is refused that is none of the known ones of a job ("job 7") or a procedure: which was meant."""
    item = procedure.item(key) or procedure.fastener_at(key)
    if item:
        return Refused(f"{key}: is a {_WHAT[type(item)]} of {whose}, and no {what}")
    group, _, number = key.rpartition("-")
    fastener = next((each for each in procedure.fasteners() if each.key == group), None)
    if fastener and number.isascii() and number.isdecimal():
        return Refused(f"{key}: {fastener.name} has no number {number}; it has {_numbers(fastener)}")
    keys = list(known)
    near = keys if what != FASTENER else [*keys, *(p for each in procedure.fasteners() for p in each.positions)]
    has = f"it has {', '.join(keys) or 'none'}"
    return Refused(f"{key}: {whose} has no such {what}; {did_you_mean(key, near, has)}")


def _numbers(fastener: Fastener) -> str:
    """What to type for the bolts of a group."""
    return f"{fastener.positions[0]} to {fastener.positions[-1]}" if fastener.size > 1 else f"one, {fastener.key}"
