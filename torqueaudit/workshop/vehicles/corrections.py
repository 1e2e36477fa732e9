"""A vehicle put right: its tag, model and year, what is known of it outside the ledger, and reports that were false."""

from typing import Any, NamedTuple

from torqueaudit.book import queries, vehicle_queries
from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.judged.validity import holding_of, why_outside
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.model.vehicle.vehicle import (
    ARRIVED,
    EXCHANGED,
    GONE,
    READ_OFF,
    STRUCK,
    Vehicle,
    fold_vehicle,
    standing_events,
)
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.vehicles.known import KnownVehicles
from torqueaudit.workshop.vehicles.tag import require_nameless, require_nobody_known

_EVENTS = {
    ARRIVED: "it arrived",
    READ_OFF: "it was read",
    GONE: "it is gone for good",
    EXCHANGED: "its instrument was replaced",
}


class Rejudged(NamedTuple):
    """A job judged otherwise than before: why its sources did not hold then, and do not now; "" where they do."""

    job: str
    state: str
    before: str
    now: str


class Changed(NamedTuple):
    """A vehicle as it is known now, in which entry, and the jobs that are judged otherwise since."""

    vehicle: Vehicle
    entry: int
    personal: tuple[str, ...]
    rejudged: tuple[Rejudged, ...]


class StruckOff(NamedTuple):
    """What was taken back: its entry, and what it said: "rear axle nut was undone", "it arrived"."""

    vehicle: str
    entry: int
    said: str


def change_vehicle(workshop: Workshop, number: str, change: VehicleChange, say: Say) -> Changed:
    """Record another tag, model or year of a vehicle, and that plate, frame number or contact is another one.

    The sources of each of its jobs are held against it anew. Raises Refused where nothing is new, for an empty tag or
    model, for a tag that holds a plate, frame number or contact, and for a plate that another vehicle has.
    """
    subject = f"vehicle/{number}"

    def build(attempt: Attempt) -> list[Draft]:
        return [changed(attempt, number, change)]

    personal = {subject: change.personal} if change.personal else None
    entry = record(workshop, say, ActName.CHANGE_VEHICLE, subject, change.said, build, personal)[0]
    return what_changed(workshop, entry)


def changed(attempt: Attempt, number: str, change: VehicleChange) -> Draft:
    """The entry of a change. Raises Refused as `change_vehicle` does."""
    workshop, subject = attempt.workshop, f"vehicle/{number}"
    entries = attempt.vehicle(number)
    known = workshop.book.personal_of(subject)
    said, now = _news(fold_vehicle(entries), known, change)
    if "instrument" in said:
        _require_same_count(attempt, now)
    if said.keys() & {"tag", "model"}:
        require_nobody_known(workshop, now.tag, now.model)
    require_nameless(now.tag, now.model, {**known, **change.personal})
    KnownVehicles.like(workshop, change.personal).require_own(change.personal, number)
    judged = {"jobs": _judged(attempt, now, known, change)} if _counts(said) else {}
    return attempt.draft(subject, "changed.1", said, judged)


def strike_of_vehicle(workshop: Workshop, number: str, entry: int, why: str, say: Say) -> StruckOff:
    """Take back a false arrival, or a false report that a fastener was undone: a foreman, or whoever said it.

    Raises Refused without a reason, and for an entry that is neither of this vehicle, or struck already.
    """
    if not why.strip():
        raise Refused(f"entry {entry}: say why it is struck")
    subject, said = f"vehicle/{number}", {"entry": entry, "why": FreeWords(why)}

    def build(attempt: Attempt) -> list[Draft]:
        target = _event(number, attempt.vehicle(number), entry)
        if target.who != say.by:
            attempt.permit(ActName.STRIKE_ANOTHERS_REPORT)
        return [attempt.draft(subject, "struck.1", said, {"kind": target.kind})]

    record(workshop, say, ActName.STRIKE_OF_VEHICLE, subject, said, build)
    target = next(each for each in workshop.book.entries(subject) if each.sequence == entry)
    return StruckOff(number, entry, said_in(target))


def _news(vehicle: Vehicle, known: dict[str, str], change: VehicleChange) -> tuple[dict[str, Any], Vehicle]:
    """Of what is told what is new, as the entry holds it, and the vehicle then. Refused where nothing is."""
    if any(text is not None and not text.strip() for text in (change.tag, change.model)):
        raise Refused("a vehicle has a tag (what people call it) and a model")
    is_so: dict[str, Any] = {"tag": vehicle.tag, "model": vehicle.model, "year": vehicle.year}
    is_so["instrument"] = vehicle.instrument
    new = sorted(field for field, value in change.personal.items() if known.get(field, "") != value)
    said = {name: told for name, told in change.said.items() if name != "personal" and is_so[name] != told}
    said |= {"personal": new} if new else {}
    if not said:
        raise Refused(f"{vehicle.number}: nothing of this is new, so nothing is recorded")
    now = vehicle._replace(**{name: said[name] for name in is_so if name in said})
    return said, now._replace(instrument=Instrument(now.instrument))


def _require_same_count(attempt: Attempt, vehicle: Vehicle) -> None:
    """What was read stays what it is: kilometres may turn out to be miles, and no distance becomes running hours."""
    book, number, now = attempt.workshop.book, vehicle.number, vehicle.instrument
    if vehicle.exchanges:
        entry = vehicle.exchanges[-1].order[1]
        raise Refused(f"{number}: its instrument was replaced, entry {entry}; strike that, and say it as it was")
    read = {
        "a distance was": not now.counts_distance and vehicle_queries.newest_odometer(book, number),
        "running hours were": now is not Instrument.HOURS and vehicle_queries.newest_hours(book, number),
    }
    for what in (what for what, found in read.items() if found):
        raise Refused(f"{number}: {what} read off it already", See(Topic.REPLACED, number))


def _counts(said: dict[str, Any]) -> bool:
    """Whether a change touches what a source holds for."""
    return not said.keys().isdisjoint({"model", "year"}) or "frame_number" in said.get("personal", ())


def _judged(attempt: Attempt, now: Vehicle, known: dict[str, str], change: VehicleChange) -> list[dict[str, str]]:
    """Each job of the vehicle with why its sources do not hold, "" where they do; none may be opened meanwhile."""
    workshop = attempt.workshop
    attempt.expect[f"job/{workshop.book.next_number('job')}"] = 0
    frame = {**known, **change.personal}.get("frame_number", "")
    judged = []
    for row in queries.jobs_of_vehicle(workshop.book, now.number):
        record_of = workshop.record(str(row.job))
        # A frame number that was erased since is not held against a job that was inside with it.
        erased = not frame and "frame_number" not in change.personal and not holding_of(record_of, now).why_not
        outside = why_outside(workshop.procedure_of(record_of), now, None if erased else frame)
        judged.append({"job": record_of.number, "outside": outside})
    return judged


def what_changed(workshop: Workshop, entry: Entry) -> Changed:
    """What became of a change, by the entry that holds it, also where the same act was sent again."""
    entries = [each for each in workshop.book.entries(entry.subject) if each.sequence <= entry.sequence]
    before, now = fold_vehicle(entries[:-1]), fold_vehicle(entries)
    rejudged = []
    for job, holding in now.judged_anew.items():
        record_of = workshop.record(job)
        was = holding_of(record_of, before).why_not
        if holding.entry == entry.sequence and was != holding.why_not and not record_of.withdrawn:
            rejudged.append(Rejudged(job, record_of.state.value, was, holding.why_not))
    return Changed(now, entry.sequence, tuple(entry.said.get("personal", ())), tuple(rejudged))


def _event(number: str, entries: list[Entry], entry: int) -> Entry:
    """The entry to take back. Refused for what is none, with those that there are."""
    standing = standing_events(fold_vehicle(entries), entries)
    target = next((each for each in standing if each.sequence == entry), None)
    if target:
        return target
    if any(each.what == STRUCK and each.said["entry"] == entry for each in entries):
        raise Refused(f"entry {entry} is struck already")
    has = "; ".join(f"#{each.sequence} says that {said_in(each)}" for each in standing)
    raise Refused(f"entry {entry} is nothing to be struck of {number}. {has or 'It has no arrival and no report'}")


def said_in(event: Entry) -> str:
    """What an event of a vehicle says, as it stands in a sentence: "it arrived", "rear axle nut was undone"."""
    return _EVENTS.get(event.what) or f"{event.said['position'].replace('-', ' ')} was undone"
