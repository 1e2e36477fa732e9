"""Measurements taken: what was read, under which conditions, what comes of it, and how that compares with the limits.

Readings are stored as they were told; the value that a plugin derives of them, its uncertainty and the verdict stand
beside them as judged then. What an uncertainty does to the verdict: decision 0021 and decision 0035.
"""

from decimal import Decimal
from typing import Any, NamedTuple

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.acts import Measure
from torqueaudit.model.procedure.kinds import Derived, InputSpec, OwnedKind, Reading, Readings
from torqueaudit.model.procedure.procedure import DIMENSION, Measurement, Procedure
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.torque.decimals import decimal_text
from torqueaudit.model.torque.verdict import OUT, OUT_NOT_PROVED, rule_text, verdict_of, word_as_read
from torqueaudit.plugins import fault_of
from torqueaudit.read.readings import (
    not_told,
    only_input,
    read_dimension,
    read_inputs,
    require_comparable,
    require_place,
)
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.again import require_new
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.jobs.judgement import guard_factor_of
from torqueaudit.workshop.jobs.keys import MEASUREMENT, no_such
from torqueaudit.workshop.vehicles.visits import arrival


class _Value(NamedTuple):
    """A value, and what the entry holds besides: what was said, and what was worked out of it."""

    value: Decimal
    expanded: Decimal | None
    said: dict[str, Any]
    judged: dict[str, Any]
    mend: str = ""  # where the value lies outside its limits


def measure(workshop: Workshop, job: str, key: str, act: Measure, say: Say) -> list[Entry]:
    """Record one measurement and judge it against the source's limits, if it states any.

    Raises Refused for an unknown measurement or input, one that is missing or without its unit, a condition that is not
    the procedure's, and readings that cannot be right. Asks back a value that was told within minutes.
    """
    words = {"written": act.written, "place": act.place, "uncertainty": act.uncertainty}
    words = {name: text for name, text in words.items() if text}
    pairs = {"inputs": _lists(act.inputs), "conditions": _lists(act.conditions)}
    told = {"key": key, **words, **{name: each for name, each in pairs.items() if each}}

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        procedure = workshop.procedure_of(of)
        known = {each.key: each for each in procedure.measurements()}
        if key not in known:
            raise no_such(procedure, f"job {job}", key, MEASUREMENT, known)
        said, judged = _worked_out(workshop, procedure, known[key], act)
        came = arrival(attempt, of.vehicle, look=True)
        taken = attempt.draft(f"job/{job}", "measured.1", said, judged)
        require_new(attempt, of, procedure, [taken])
        return [*came, taken]

    return record(workshop, say, ActName.MEASURE, f"job/{job}", told, build)


def _worked_out(
    workshop: Workshop, procedure: Procedure, asked: Measurement, act: Measure
) -> tuple[dict[str, Any], dict[str, Any]]:
    """What the entry says, and what was judged then. Raises Refused."""
    with refused_if_unreadable():
        owned = workshop.plugins.kinds.get(asked.kind)
        same = owned.kind.same_condition if owned else None
        require_comparable(asked, act.conditions, same)
        taken = _dimension(asked, act) if asked.kind == DIMENSION else _derived(workshop, procedure, asked, act)
        place = act.place or taken.said.get("place", "")
        require_place(asked, act.conditions, place, same)
    said = {"key": asked.key, **taken.said, **({"place": act.place} if act.place else {})}
    judged = {**taken.judged, **_verdict(workshop, procedure, asked, taken)}
    if act.conditions:
        said["conditions"] = _lists(act.conditions)
    if asked.conditions:
        judged["conditions"] = _lists(asked.conditions)
    if assumed := not_told(asked, act.conditions, place):
        judged["not_told"] = list(assumed)
    return said, judged


def _dimension(asked: Measurement, act: Measure) -> _Value:
    if act.inputs:
        raise ValueError(f"{asked.name}: it is one value and has no inputs; write “25 {asked.unit}”")
    reading = read_dimension(asked, act.written, act.uncertainty)
    return _Value(reading.value, reading.expanded, _plain(asked.unit, reading), {})


def _derived(workshop: Workshop, procedure: Procedure, asked: Measurement, act: Measure) -> _Value:
    """What the plugin makes of the readings, stored beside them."""
    owned = workshop.plugins.kinds.get(asked.kind)
    if owned is None or asked.unit not in owned.kind.units:
        raise Refused(
            f"{asked.name}: no plugin that is loaded knows how “{asked.kind}” is measured in {asked.unit}",
            See(Topic.PLUGINS_LOADED),
        )
    unnamed = ((only_input(asked, owned.kind, act.written), act.written),) if act.written else ()
    inputs = read_inputs(asked, owned.kind, (*unnamed, *act.inputs), act.uncertainty)
    by_name = {spec.name: own for spec, own in inputs.items()}
    derived = _asked_of(owned, Readings(by_name, dict(asked.conditions), act.place), asked, procedure)
    judged = {"kind": asked.kind, "plugin": owned.plugin, "value": decimal_text(derived.value), "unit": asked.unit}
    if derived.says:
        judged["says"] = derived.says
    said = [_named(spec, each) for spec, own in inputs.items() for each in own]
    return _Value(
        value=derived.value, expanded=derived.expanded, said={"inputs": said}, judged=judged, mend=derived.mend
    )


def _asked_of(owned: OwnedKind, readings: Readings, asked: Measurement, procedure: Procedure) -> Derived:
    """The plugin's answer. Refused in its own words where the readings cannot be right, and where it breaks."""
    try:
        derived: Any = owned.kind.derive(readings, asked, procedure.x)
    except ValueError as error:
        raise Refused(f"{asked.name}: {error}") from None
    except (Exception, SystemExit) as error:  # whatever a plugin raises is told in one sentence
        raise _broken(owned, asked, f"{type(error).__name__}: {fault_of(error)}") from error
    if not isinstance(derived, Derived) or not all(isinstance(said, str) for said in derived[2:]):
        raise _broken(owned, asked, f"it answered {derived!r}")
    if not _is_number(derived.value) or not (derived.expanded is None or _is_number(derived.expanded)):
        raise _broken(owned, asked, f"it answered {derived!r}")
    return derived


def _is_number(value: object) -> bool:
    return isinstance(value, Decimal) and value.is_finite()


def _broken(owned: OwnedKind, asked: Measurement, fault: str) -> Refused:
    return Refused(f"plugin {owned.plugin} broke while it worked out the {asked.name} ({fault}); nothing was recorded")


def _verdict(workshop: Workshop, procedure: Procedure, asked: Measurement, taken: _Value) -> dict[str, Any]:
    judged: dict[str, Any] = {} if taken.expanded is None else {"expanded": decimal_text(taken.expanded)}
    if asked.lower is None and asked.upper is None:
        return judged
    guard_factor = guard_factor_of(workshop.settings, procedure)
    if taken.expanded is None:
        word, probability = word_as_read(taken.value, asked.lower, asked.upper, guard_factor), None
    else:  # whoever tells an uncertainty wants it heard
        by = guard_factor or Decimal(1)
        word, _, probability = verdict_of(taken.value, taken.expanded, asked.lower, asked.upper, by)
    judged |= {"verdict": word, "decision_rule": rule_text(guard_factor)}
    judged["inside"] = word not in {OUT, OUT_NOT_PROVED}
    if taken.mend and not judged["inside"]:
        judged["mend"] = taken.mend
    return judged if probability is None else {**judged, "probability": str(probability)}


def _named(spec: InputSpec, reading: Reading) -> dict[str, str]:
    return {"name": spec.name, **_plain(spec.unit, reading)}


def _plain(unit: str, reading: Reading) -> dict[str, str]:
    """A reading as entries hold it; what was not told is left out."""
    expanded = "" if reading.expanded is None else str(reading.expanded)
    plain = {"value": str(reading.value), "unit": unit, "expanded": expanded, "place": reading.place}
    return {name: text for name, text in plain.items() if text}


def _lists(pairs: tuple[tuple[str, str], ...]) -> list[list[str]]:
    return [list(pair) for pair in pairs]
