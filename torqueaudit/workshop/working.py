"""The rest of the work: steps done, dimensions measured, parts fitted."""

from decimal import Decimal
from typing import Any, NamedTuple

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.procedure import Fastener, Fit, Measurement
from torqueaudit.model.units import read_decimal
from torqueaudit.workshop.acting import Reading, Refused, Say, record
from torqueaudit.workshop.jobs import live_record, procedure_of
from torqueaudit.workshop.workshop import Workshop

ANSWERS = ("yes", "no", "not applicable")
RECORDERS = ("mechanic", "trainee", "foreman")


class Part(NamedTuple):
    """A part fitted: what it is, its lot, and whether it was new; attributes as (name, value)."""

    part: str
    lot: str = ""
    new: bool = True
    attributes: tuple[tuple[str, str], ...] = ()


def do_step(workshop: Workshop, job: str, key: str, answer: str, remark: str, say: Say) -> None:
    """Record a step done or looked at: yes, no or not applicable. Raises Refused for an unknown step or answer."""
    if answer not in ANSWERS:
        raise Refused(f"{answer}: answer yes, no or not applicable")
    said = {"key": key, "answer": answer, **({"remark": remark} if remark else {})}

    def build(reading: Reading) -> list[Draft]:
        reading.person(*RECORDERS)
        known = procedure_of(workshop, live_record(reading, job)).steps()
        _require(key, {step.key for step in known}, job, "step")
        return [reading.draft(f"job/{job}", "step_done.1", said)]

    record(workshop, say, "step", f"job/{job}", said, build)


def measure(workshop: Workshop, job: str, key: str, written: str, place: str, say: Say) -> None:
    """Record one dimension ("25 mm") and judge it against the source's limits, if it states any.

    Raises Refused for an unknown measurement, or a value without the unit the procedure asks for.
    """
    said = {"key": key, **({"place": place} if place else {})}

    def build(reading: Reading) -> list[Draft]:
        reading.person(*RECORDERS)
        of = live_record(reading, job)
        known = {each.key: each for each in procedure_of(workshop, of).measurements()}
        _require(key, set(known), job, "measurement")
        value = _value(known[key], written)
        words = {**said, "value": str(value), "unit": known[key].unit}
        return [reading.draft(f"job/{job}", "measured.1", words, _inside(known[key], value))]

    record(workshop, say, "measure", f"job/{job}", {**said, "written": written}, build)


def fit(workshop: Workshop, job: str, key: str, part: Part, say: Say) -> None:
    """Record a part fitted. Raises Refused for a part the procedure knows nothing of."""
    if not part.part.strip():
        raise Refused(f"{key}: say what was fitted")
    said: dict[str, Any] = {"key": key, "part": part.part, "new": part.new}
    if part.lot:
        said["lot"] = part.lot
    if part.attributes:
        said["attributes"] = [list(pair) for pair in part.attributes]

    def build(reading: Reading) -> list[Draft]:
        reading.person(*RECORDERS)
        work = procedure_of(workshop, live_record(reading, job)).work
        known = {item.key for item in work if isinstance(item, Fit)}
        known |= {name for item in work if isinstance(item, Fastener) for name in item.single_use}
        _require(key, known, job, "part")
        return [reading.draft(f"job/{job}", "fitted.1", said)]

    record(workshop, say, "fit", f"job/{job}", said, build)


def _require(key: str, known: set[str], job: str, what: str) -> None:
    if key not in known:
        raise Refused(f"{key}: job {job} has no such {what}; it has {', '.join(sorted(known)) or 'none'}")


def _value(measurement: Measurement, written: str) -> Decimal:
    number, _, unit = written.strip().partition(" ")
    if unit.strip() != measurement.unit:
        raise Refused(
            f"{written}: the {measurement.name} is measured in {measurement.unit}; write “25 {measurement.unit}”"
        )
    try:
        return read_decimal(number, measurement.name)
    except ValueError as error:
        raise Refused(str(error)) from None


def _inside(measurement: Measurement, value: Decimal) -> dict[str, bool]:
    if measurement.lower is None and measurement.upper is None:
        return {}
    above = measurement.lower is None or value >= measurement.lower
    return {"inside": above and (measurement.upper is None or value <= measurement.upper)}
