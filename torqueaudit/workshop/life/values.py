"""What was measured on a motorcycle over all its jobs, as tables and charts, and the parts that are or were on it."""

from collections.abc import Iterator, Sequence
from datetime import datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

from torqueaudit.model.job.facts import Measured, PartFitted
from torqueaudit.model.job.noted import Noted
from torqueaudit.model.job.read_off import nearest_read
from torqueaudit.model.job.record import Job
from torqueaudit.model.job.road import HandOver
from torqueaudit.model.job.words import measured_text
from torqueaudit.model.procedure.procedure import Measurement
from torqueaudit.model.shown.life import PartOn, Series, ValueTaken
from torqueaudit.model.shown.section import Chart
from torqueaudit.model.shown.signed_job import delay_text
from torqueaudit.model.vehicle.instrument import Hours, run_text
from torqueaudit.model.vehicle.vehicle import Vehicle
from torqueaudit.workshop.life.stretches import Reading, ran

FEWEST = 2  # values that are worth a chart
METRES, MINUTES = 1000, 60  # of the units of an axis


class Lived(NamedTuple):
    """What the values and parts of a vehicle are worked out of: its jobs, withdrawn ones left out, and its clock."""

    vehicle: Vehicle
    jobs: Sequence[Job]
    newest: Reading | None
    zone: ZoneInfo
    late_minutes: int


class _Told(NamedTuple):
    """One value with the job and the measurement that it was taken by, and what was read nearest to it."""

    job: Job
    item: Measurement | None
    fact: Measured
    read: Reading | None


def series_of(lived: Lived) -> tuple[Series, ...]:
    """What was measured under each key in each unit, in the order of the newest job's procedure."""
    grouped: dict[tuple[str, str], list[_Told]] = {}
    for job in reversed(lived.jobs):
        for each in job.procedure.measurements():
            grouped.setdefault((each.key, each.unit), [])
    for job in lived.jobs:
        for fact in job.record.of(Measured):
            item = job.procedure.item(fact.key)
            told = _Told(job, item if isinstance(item, Measurement) else None, fact, _read_near(job, fact.noted))
            grouped.setdefault((fact.key, fact.unit), []).append(told)
    return tuple(_series(lived, key, unit, told) for (key, unit), told in grouped.items() if told)


def parts_of(lived: Lived) -> tuple[PartOn, ...]:
    """Every part that was fitted, those that are on it first; one is replaced by the next of its key."""
    fitted: dict[str, list[tuple[Job, PartFitted]]] = {}
    for job in lived.jobs:
        for fact in _fitted(job):
            fitted.setdefault(fact.key, []).append((job, fact))
    parts = [part for told in fitted.values() for part in _parts(lived, sorted(told, key=_order))]
    return tuple(sorted(parts, key=lambda each: each.until is not None))


def _fitted(job: Job) -> Iterator[PartFitted]:
    """The parts of a job; one that was told again before the vehicle left puts right what was told of it before."""
    told: dict[str, PartFitted] = {}
    for fact in job.record.facts:
        if isinstance(fact, PartFitted):
            told[fact.key] = fact
        elif isinstance(fact, HandOver):
            yield from told.values()
            told.clear()
    yield from told.values()


def _order(told: tuple[Job, PartFitted]) -> tuple[datetime, int]:
    return told[1].noted.happened_at, told[1].noted.entry


def _series(lived: Lived, key: str, unit: str, told: list[_Told]) -> Series:
    told.sort(key=lambda each: (each.fact.noted.happened_at, each.fact.noted.entry))
    named = [each.item for each in told if each.item]
    name = named[-1].name if named else key.replace("-", " ")
    taken = tuple(_taken(lived, each) for each in told)
    return Series(key, name, unit, taken, chart=_chart(lived, name, unit, told))


def _taken(lived: Lived, told: _Told) -> ValueTaken:
    fact, item = told.fact, told.item
    late = fact.noted.late(lived.late_minutes)
    return ValueTaken(
        job=told.job.number,
        entry=fact.noted.entry,
        by=fact.noted.by,
        when=fact.noted.happened_at.astimezone(lived.zone),
        value=fact.value,
        says=measured_text(fact, *((item.lower, item.upper) if item else ())),
        limits=item.written if item else "",
        verdict=fact.verdict,
        at=_at(lived, told.read),
        late=f"told late: recorded {delay_text(late)} after it was taken" if late else "",
    )


def _at(lived: Lived, read: Reading | None) -> str:
    return run_text(read.run, lived.vehicle.instrument_at(read.happened_at)) if read else ""


def _read_near(job: Job, noted: Noted) -> Reading | None:
    """What was read in the same job nearest in time."""
    nearest = nearest_read(job.record.runs(), noted.happened_at)
    return Reading(nearest[0].happened_at, nearest[0].entry, nearest[1]) if nearest else None


def _chart(lived: Lived, name: str, unit: str, told: Sequence[_Told]) -> Chart | None:
    """The values over what it had run where that is known of each, else over the days since the first."""
    if len(told) < FEWEST:
        return None
    x_name, places = _places(lived, told)
    item = next((each.item for each in reversed(told) if each.item), None)
    lower, upper = _limits(item) if item and item.unit == unit else (None, None)
    limits = f" Limits of the last job: {item.written}." if item and item.written else ""
    between = [] if lower is None or upper is None else [(at, lower, upper) for at in (min(places), max(places))]
    return Chart(
        title=name,
        says=f"{len(told)} values, from {told[0].fact.value} {unit} to {told[-1].fact.value} {unit}.{limits}",
        x_name=x_name,
        y_name=f"{name} in {unit}" if unit else name,
        points=tuple((at, float(each.fact.value)) for at, each in zip(places, told, strict=True)),
        band=tuple(between),
        limit=None if between else upper if upper is not None else lower,
    )


def _limits(item: Measurement) -> tuple[float | None, float | None]:
    lower, upper = item.lower, item.upper
    return None if lower is None else float(lower), None if upper is None else float(upper)


def _places(lived: Lived, told: Sequence[_Told]) -> tuple[str, list[float]]:
    reads = [each.read for each in told]
    runs = [lived.vehicle.presently(each.run, each.happened_at, each.entry) for each in reads if each]
    if len(runs) == len(told):
        if all(isinstance(run, int) for run in runs):
            return "distance in km", [run / METRES for run in runs if isinstance(run, int)]
        if all(isinstance(run, Hours) for run in runs):
            return "running hours", [run.minutes / MINUTES for run in runs if isinstance(run, Hours)]
    first = told[0].fact.noted.happened_at
    return "days since the first", [(each.fact.noted.happened_at - first).total_seconds() / 86400 for each in told]


def _parts(lived: Lived, told: Sequence[tuple[Job, PartFitted]]) -> Iterator[PartOn]:
    for at, (job, fact) in enumerate(told):
        yield _part(lived, job, fact, told[at + 1] if at + 1 < len(told) else None)


def _part(lived: Lived, job: Job, fact: PartFitted, behind: tuple[Job, PartFitted] | None) -> PartOn:
    """A part, and the next of its key behind it, up to which it has run."""
    on, item = _read_near(job, fact.noted), job.procedure.item(fact.key)
    off = _read_near(behind[0], behind[1].noted) if behind else lived.newest
    return PartOn(
        key=fact.key,
        name=item.name if item else fact.key.replace("-", " "),
        part=fact.part,
        lot=fact.lot,
        new=fact.new,
        attributes=fact.attributes,
        job=job.number,
        entry=fact.noted.entry,
        since=fact.noted.happened_at.astimezone(lived.zone),
        at=_at(lived, on),
        until=behind[1].noted.happened_at.astimezone(lived.zone) if behind else None,
        replaced_by=behind[0].number if behind else "",
        ran=ran(lived.vehicle, on, off) if on and off else "",
    )
