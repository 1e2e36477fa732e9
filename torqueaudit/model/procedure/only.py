"""A procedure with some of its fasteners alone and what belongs to them, for a job that does no more than those."""

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from torqueaudit.model.listed import listed
from torqueaudit.model.procedure.procedure import Fastener, Measurement, Procedure, RecheckPlan, Step, Work

RIDDEN_ON = ("wheel", "brake")


def reduced(procedure: Procedure, keys: Collection[str]) -> Procedure:
    """The procedure with the fasteners of these keys, and what is to be done where they are done again.

    That is: their parts that hold once only; what is measured or done right after them; of those that hold a wheel or a
    brake also the required steps right before them, and whatever proves the brake with the steps that lead up to it.
    Every warning stays, and nothing refers to what is gone. Raises ValueError where a key is no fastener's, or none is
    given.
    """
    asked = [fastener for fastener in procedure.fasteners() if fastener.key in keys]
    if not asked or len(asked) < len(set(keys)):
        raise ValueError(f"{procedure.name} has no such fasteners: {', '.join(keys) or 'none was named'}")
    kept = frozenset(_kept(procedure, asked))
    work = tuple(_linked(item, procedure, kept) for item in procedure.work if item.key in kept)
    gone = frozenset(_names(procedure.work)) - frozenset(_names(work))
    used = {item.specification.source if isinstance(item, Fastener) else _source(item) for item in work}
    return procedure._replace(
        title=f"{procedure.title} (only {_listed(asked)})",
        sources=tuple(source for source in procedure.sources if source.key in used),
        work=work,
        recheck=_plan(procedure.recheck, kept) if procedure.recheck else None,
        x={name: left for name, table in procedure.x.items() if (left := _without(table, gone))},
    )


def _kept(procedure: Procedure, asked: list[Fastener]) -> Iterator[str]:
    """The keys of what stays."""
    keys = {fastener.key for fastener in asked}
    single_use = {key for fastener in asked for key in fastener.single_use}
    yield from keys
    yield from (fit.key for fit in procedure.fits() if fit.key in single_use)
    yield from (taken.key for taken in procedure.measurements() if keys & {*taken.after, *taken.again_after})
    yield from (step.key for step in procedure.steps() if keys & {*step.after})
    ridden_on = [fastener for fastener in asked if fastener.holds in RIDDEN_ON]
    for fastener in ridden_on:
        yield from (step.key for step in _steps(procedure, fastener.after) if step.required)
    if ridden_on:
        yield from _proving(procedure)


def _steps(procedure: Procedure, keys: Collection[str]) -> Iterator[Step]:
    return (step for step in procedure.steps() if step.key in keys)


def _proving(procedure: Procedure) -> set[str]:
    """The steps that prove a brake, each with the required ones before it, as far back as no other work is between."""
    found = {step.key for step in procedure.steps() if step.proves}
    for step in reversed(procedure.steps()):  # each stands behind whatever it comes after
        if step.key in found:
            found |= {before.key for before in _steps(procedure, step.after) if before.required}
    return found


def _linked(item: Work, procedure: Procedure, kept: Collection[str]) -> Work:
    """An item with its order among what is left: it comes after whatever stood before it, also through what is gone."""
    item = item._replace(after=tuple(_before(item, procedure, kept)))
    if isinstance(item, Measurement):
        return item._replace(again_after=_of(kept, item.again_after))
    return item._replace(covers=_of(kept, item.covers)) if isinstance(item, Step) else item


def _before(item: Work, procedure: Procedure, kept: Collection[str]) -> dict[str, None]:
    found: dict[str, None] = {}
    seen: set[str] = set()
    waiting = list(reversed(item.after))
    while waiting:
        key = waiting.pop()
        if key in kept:
            found[key] = None
        elif key not in seen and (gone := procedure.item(key)):
            seen.add(key)
            waiting += reversed(gone.after)
    return found


def _plan(plan: RecheckPlan, kept: Collection[str]) -> RecheckPlan | None:
    """What the re-check looks at of what is left; None where that is nothing."""
    left = plan._replace(
        marks=_of(kept, plan.marks), measurements=_of(kept, plan.measurements), torques=_of(kept, plan.torques)
    )
    return left if left.marks or left.measurements or left.torques else None


def _of(kept: Collection[str], keys: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(key for key in keys if key in kept)


def _without(value: Any, gone: Collection[str]) -> Any:
    """A plugin's table without what it says of work that is gone: the table below its key, and its key as a text."""
    if isinstance(value, Mapping):
        told = {key: _without(item, gone) for key, item in value.items() if not _is_of(gone, key, item)}
        return {key: item for key, item in told.items() if item or not value[key]}
    if isinstance(value, list):
        return [_without(item, gone) for item in value if not (isinstance(item, str) and item in gone)]
    return value


def _is_of(gone: Collection[str], key: str, item: object) -> bool:
    return (isinstance(item, Mapping) and key in gone) or (isinstance(item, str) and item in gone)


def _names(work: Collection[Work]) -> Iterator[str]:
    """Every name that a plugin's table may call the work by."""
    for item in work:
        yield item.key
        yield from item.positions if isinstance(item, Fastener) else ()


def _source(item: Work) -> str:
    return item.source if isinstance(item, Measurement) else ""


def _listed(fasteners: list[Fastener]) -> str:
    """Fasteners in words: "rear sprocket bolt 1 to 5 and the rear axle nut"."""
    return listed(f"{each.name} 1 to {each.size}" if each.size > 1 else f"the {each.name}" for each in fasteners)
