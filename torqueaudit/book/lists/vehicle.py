"""The rows of a vehicle: its own, and what its jobs say of its fasteners, distances, measurements and parts.

What was measured and fitted is also listed by vehicle: decision 0022.
"""

from collections.abc import Sequence
from datetime import datetime

from torqueaudit.book.lists.pairs import pairs_text
from torqueaudit.book.lists.records import WRONG_SOURCE
from torqueaudit.book.lists.torque import listed_mnm
from torqueaudit.book.lists.upkeep import Row, Rows
from torqueaudit.ledger.entry import Entry, stamp
from torqueaudit.model.job.facts import Loosening, Measured, PartFitted, Tightening
from torqueaudit.model.job.read_off import nearest_read
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import HandOver
from torqueaudit.model.vehicle.instrument import Hours, Run, run_in
from torqueaudit.model.vehicle.vehicle import (
    ARRIVED,
    EXCHANGED,
    GONE,
    READ_OFF,
    REPORTED,
    exchange_of,
    fold_vehicle,
    standing_events,
)


def vehicle_rows(entries: Sequence[Entry]) -> Rows:
    """The vehicle's own row, its arrivals, what was reported undone, and jobs whose source turned out not to hold."""
    vehicle = fold_vehicle(entries)
    events = standing_events(vehicle, entries)
    outside: list[Row] = [
        {"job": int(job), "reason": WRONG_SOURCE, "entry": judged.entry}
        for job, judged in vehicle.judged_anew.items()
        if judged.why_not
    ]
    reported: list[Row] = [
        {
            "vehicle": vehicle.number,
            "position": entry.said["position"],
            "happened_at": entry.happened_at,
            "job": None,
            "entry": entry.sequence,
            "kind": "loosened",
        }
        for entry in events
        if entry.what == REPORTED
    ]
    read = [(entry, run_in(entry.said)) for entry in events if entry.what in (ARRIVED, READ_OFF)]
    read += [(entry, exchange_of(entry).now) for entry in events if entry.what == EXCHANGED]
    exchanged_on = max((stamp(each.order[0]) for each in vehicle.exchanges), default=None)
    return {
        "vehicles": [{"vehicle": vehicle.number, "tag": vehicle.tag, "exchanged_on": exchanged_on}],
        "fastener_events": reported,
        "attention": outside,
        "visits": [_of_vehicle(entry) for entry in events if entry.what in (ARRIVED, GONE)],
        "odometer": [
            _read(vehicle.number, entry.happened_at, run, entry.sequence) for entry, run in read if run is not None
        ],
    }


def _read(vehicle: str, happened_at: str, run: Run, entry: int) -> Row:
    metres, minutes = (None, run.minutes) if isinstance(run, Hours) else (run, None)
    return {"vehicle": vehicle, "happened_at": happened_at, "metres": metres, "minutes": minutes, "entry": entry}


def _of_vehicle(entry: Entry) -> Row:
    here = int(entry.what == ARRIVED)
    return _visit(entry.key, entry.happened_at, here, entry.sequence, gone=1 - here)


def _visit(vehicle: str, happened_at: str, here: int, entry: int, *, job: int | None = None, gone: int = 0) -> Row:
    return {"vehicle": vehicle, "happened_at": happened_at, "here": here, "gone": gone, "job": job, "entry": entry}


def visit_rows(record: JobRecord) -> list[Row]:
    """It came to be worked on and left with each hand-over; a job that was withdrawn says no more than that it left."""
    came = [] if record.withdrawn else [(record.opened, 1)]
    moved = [*came, *((left.noted, 0) for left in record.of(HandOver))]
    job = int(record.number)
    return [_visit(record.vehicle, stamp(noted.happened_at), here, noted.entry, job=job) for noted, here in moved]


def event_rows(record: JobRecord) -> list[Row]:
    """Each tightening and loosening of a job, with its wrench and what that showed, and whether it was done alone."""
    return [
        {
            "vehicle": record.vehicle,
            "position": fact.position,
            "happened_at": stamp(fact.noted.happened_at),
            "job": int(record.number),
            "entry": fact.noted.entry,
            "kind": "loosened" if isinstance(fact, Loosening) else "tightened",
            "wrench": None if isinstance(fact, Loosening) else fact.wrench or None,
            "shown_mnm": None if isinstance(fact, Loosening) else listed_mnm(fact.most_shown_nm),
            "alone": int(bool(record.only)),
        }
        for fact in record.facts
        if isinstance(fact, Tightening | Loosening)
    ]


def odometer_rows(record: JobRecord) -> list[Row]:
    """Each distance, or each number of running hours, that was read off the vehicle in a job."""
    return [_read(record.vehicle, stamp(noted.happened_at), run, noted.entry) for noted, run in record.runs()]


def measurement_rows(record: JobRecord) -> list[Row]:
    """Each value that was measured in a job."""
    return [
        {
            **_on_vehicle(record, fact),
            "kind": fact.kind,
            "value": str(fact.value),
            "unit": fact.unit,
            "conditions": pairs_text(fact.conditions),
        }
        for fact in record.of(Measured)
    ]


def part_rows(record: JobRecord) -> list[Row]:
    """Each part that was fitted in a job."""
    return [
        {
            **_on_vehicle(record, fact),
            "part": fact.part,
            "lot": fact.lot,
            "new": int(fact.new),
            "attributes": pairs_text(fact.attributes),
        }
        for fact in record.of(PartFitted)
    ]


def _on_vehicle(record: JobRecord, fact: Measured | PartFitted) -> Row:
    return {
        "vehicle": record.vehicle,
        "key": fact.key,
        "happened_at": stamp(fact.noted.happened_at),
        "odometer_m": _nearest_odometer(record, fact.noted.happened_at),
        "job": int(record.number),
        "entry": fact.noted.entry,
    }


def _nearest_odometer(record: JobRecord, moment: datetime) -> int | None:
    metres = ((noted, run) for noted, run in record.runs() if not isinstance(run, Hours))
    nearest = nearest_read(metres, moment)
    return nearest[1] if nearest else None
