"""Keys of a job's work that are not found: refused with the one that was probably meant."""

from collections.abc import Iterable

from torqueaudit.model.act import Refused
from torqueaudit.model.nearest import did_you_mean
from torqueaudit.model.procedure.procedure import Fastener, Fit, Measurement, Procedure, Step

FASTENER, STEP, MEASUREMENT, PART = "fastener", "step", "measurement", "part"
_WHAT = {Fastener: FASTENER, Step: STEP, Measurement: MEASUREMENT, Fit: PART}


def no_such(procedure: Procedure, job: str, key: str, what: str, known: Iterable[str]) -> Refused:
    """Why a key is refused that is none of the known ones: it is other work, or which was probably meant."""
    item = procedure.item(key) or procedure.fastener_at(key)
    if item:
        return Refused(f"{key}: is a {_WHAT[type(item)]} of job {job}, and no {what}")
    group, _, number = key.rpartition("-")
    fastener = next((each for each in procedure.fasteners() if each.key == group), None)
    if fastener and number.isascii() and number.isdecimal():
        return Refused(f"{key}: {fastener.name} has no number {number}; it has {_numbers(fastener)}")
    keys = list(known)
    near = keys if what != FASTENER else [*keys, *(p for each in procedure.fasteners() for p in each.positions)]
    has = f"it has {', '.join(keys) or 'none'}"
    return Refused(f"{key}: job {job} has no such {what}; {did_you_mean(key, near, has)}")


def _numbers(fastener: Fastener) -> str:
    """What to type for the bolts of a group."""
    return f"{fastener.positions[0]} to {fastener.positions[-1]}" if fastener.size > 1 else f"one, {fastener.key}"
