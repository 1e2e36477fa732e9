"""A measurement: the unit fixed, the condition named, several places; judged at once when it is told."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.job.acts import Measure
from torqueaudit.model.procedure.kinds import InputSpec
from torqueaudit.model.procedure.procedure import DIMENSION, Measurement
from torqueaudit.workshop.jobs.measurements import measure

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/measure.html"
PLACES = 3  # fields for what may be read at several places
OWN, AT = "read.", "at."  # begin the names of the fields that hold a reading, and its place


class Field(NamedTuple):
    """One field for a reading, and where several may be told, one for its place."""

    name: str  # of the form's field
    says: str
    unit: str
    told: str
    place: str  # the name of the field for its place, "" where none is asked
    place_told: str
    required: bool


class MeasureScreen(NamedTuple):
    """What is measured, under which conditions the limits hold, and what is read."""

    name: str
    says: str
    limits: str
    conditions: tuple[tuple[str, str], ...]
    fields: tuple[Field, ...]
    spread: str  # the unit of the instrument's own uncertainty
    spread_told: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> MeasureScreen:
    """What is asked."""
    asked = _measurement(at, said)
    return MeasureScreen(
        name=asked.name,
        says=asked.says,
        limits=asked.written,
        conditions=asked.conditions,
        fields=tuple(field for spec in _inputs(at, asked) for field in _fields(spec, typed)),
        spread=next((spec.unit for spec in _inputs(at, asked) if spec.unit), ""),
        spread_told=typed.one("spread"),
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record the readings under the conditions that the screen named."""
    asked = _measurement(at, said)
    inputs = tuple(pair for spec in _inputs(at, asked) for pair in _readings(spec, typed))
    spread = typed.one("spread")
    unit = next((spec.unit for spec in _inputs(at, asked) if spec.unit), "")
    told = Measure(
        written=inputs[0][1] if asked.kind == DIMENSION and inputs else "",
        inputs=() if asked.kind == DIMENSION else inputs,
        conditions=asked.conditions,
        uncertainty=f"{spread} {unit}" if spread else "",
    )
    return measure(at.workshop, at.number, asked.key, told, say)


def _inputs(at: "AtWork", asked: Measurement) -> tuple[InputSpec, ...]:
    """What is read: of a dimension its value alone, of a kind all that it is worked out of."""
    owned = None if asked.kind == DIMENSION else at.workshop.plugins.kinds.get(asked.kind)
    return owned.kind.inputs if owned else (InputSpec(asked.name, asked.unit),)


def _fields(spec: InputSpec, typed: "Typed") -> list[Field]:
    many = PLACES if spec.several else 1
    return [_field(spec, number, typed) for number in range(1, many + 1)]


def _field(spec: InputSpec, number: int, typed: "Typed") -> Field:
    name = f"{OWN}{spec.name}.{number}"
    place = f"{AT}{spec.name}.{number}" if spec.several else ""
    says = f"{spec.name}, place {number}" if spec.several else spec.name
    told = typed.one(name)
    return Field(
        name=name,
        says=says,
        unit=spec.unit,
        told=told,
        place=place,
        place_told=typed.one(place),
        required=spec.required and number == 1,
    )


def _readings(spec: InputSpec, typed: "Typed") -> list[tuple[str, str]]:
    """What was read of one input, each as it is written: ("slack", "37 mm at link 10")."""
    unit = f" {spec.unit}" if spec.unit else ""
    found = []
    for field in _fields(spec, typed):
        if field.told:
            at = f" at {field.place_told}" if field.place_told else ""
            found.append((spec.name, f"{field.told}{unit}{at}"))
    return found


def _measurement(at: "AtWork", said: "Next") -> Measurement:
    item = at.item(said.key)
    if not isinstance(item, Measurement):
        raise Refused(f"{item.name}: is nothing that is measured; go back to what comes next")
    return item
