"""The rows that each subject's entries give to the cross-job lists: facts and judged-then values, nothing of today.

What was measured and fitted is also listed by vehicle: decision 0022.
"""

from collections.abc import Sequence
from datetime import datetime
from typing import TYPE_CHECKING, TypeAlias

from torqueaudit.book.pairs import pairs_text
from torqueaudit.model.job.facts import (
    Fact,
    HandOver,
    Loosening,
    MarkState,
    Measured,
    Outcome,
    PartFitted,
    StepDone,
    Strike,
    Tightening,
)
from torqueaudit.model.job.record import FastenerState, JobRecord, fold_record
from torqueaudit.model.register.people import fold_person
from torqueaudit.model.register.vehicles import fold_vehicle
from torqueaudit.model.wrench.entries import fold_wrench

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry

Row: TypeAlias = dict[str, str | int | None]
Rows: TypeAlias = dict[str, list[Row]]


def rows_of(subject: str, entries: Sequence["Entry"]) -> Rows:
    """Table name to rows for one subject, from its own entries and nothing else."""
    noun = subject.partition("/")[0]
    if not entries or noun not in WRITERS:
        return {}
    return WRITERS[noun](subject, entries)


def _job_rows(subject: str, entries: Sequence["Entry"]) -> Rows:
    record = fold_record(entries)
    opening = entries[0]
    return {
        "jobs": [_job_row(subject, record, opening)],
        "attention": _attention(subject, record),
        "needs": [{"subject": subject, "job": int(record.number), "plugin": name} for name in opening.judged["needs"]],
        "fastener_events": [] if record.withdrawn else _events(subject, record),
        "odometer": [
            _reading(subject, record.vehicle, when.isoformat(), metres, entry)
            for when, metres, entry in record.odometers()
        ],
        "measurements": [] if record.withdrawn else _measurements(subject, record),
        "parts": [] if record.withdrawn else _parts(subject, record),
        "concessions": [_concession_row(subject, record, index) for index in range(len(record.concessions()))],
    }


def _job_row(subject: str, record: JobRecord, opening: "Entry") -> Row:
    hand_over = record.hand_over
    return {
        "subject": subject,
        "job": int(record.number),
        "vehicle": record.vehicle,
        "procedure": record.digest,
        "title": opening.judged["title"],
        "token": record.token,
        "state": record.state.value,
        "opened_on": opening.happened_at,
        "last_recorded": entries_end(record),
        "handed_over_on": _stamp(hand_over.noted.happened_at.isoformat()) if hand_over else None,
        "released": int(record.release is not None),
        "due_on": hand_over.due_on.isoformat() if hand_over and hand_over.due_on else None,
        "due_distance_m": hand_over.due_distance_m if hand_over else None,
        "odometer_m": hand_over.odometer_m if hand_over else record.odometer_m,
        "rechecked_on": _stamp(record.recheck.noted.happened_at.isoformat()) if record.recheck else None,
        "unchecked": unchecked(record, opening),
        "holds": opening.judged["holds"],
        "withdrawn": int(record.withdrawn),
        "follows": int(record.follows) if record.follows else None,
    }


def entries_end(record: JobRecord) -> str:
    """When the last entry of a job was recorded, as entries write it."""
    return _stamp(record.last.recorded_at.isoformat())


def unchecked(record: JobRecord, opening: "Entry") -> int:
    """How many fasteners are tightened and wait for the second person's look."""
    if record.withdrawn:
        return 0
    waiting = [record.current(position) for position in opening.judged["checks"]]
    return sum(now.state is FastenerState.TIGHTENED and now.check is None for now in waiting)


def _attention(subject: str, record: JobRecord) -> list[Row]:
    """Why a vehicle on the road may be wanted back, each with the entry that says so."""
    hand_over = record.hand_over
    if hand_over is None:
        return []
    if record.withdrawn:
        withdrawn = ("withdrawn after it left", record.strikes[-1].noted.entry)
        return [{"subject": subject, "job": int(record.number), "reason": withdrawn[0], "entry": withdrawn[1]}]
    reasons: list[tuple[str, int]] = []
    if record.release is None or record.release.noted.order > hand_over.noted.order:
        reasons.append(("gone without release", hand_over.noted.entry))
    reasons += [("open stop", hand_over.noted.entry)] * bool(hand_over.stops)
    reasons += [
        ("struck after release", strike.noted.entry) for strike in record.strikes if _after_release(record, strike)
    ]
    reasons += [("worked on since", fact.noted.entry) for fact in record.facts if _reopens(fact, hand_over)]
    reasons += [
        ("measured outside its limits", taken.noted.entry)
        for taken in {taken.key: taken for taken in record.of(Measured)}.values()
        if taken.inside is False and taken.noted.order > hand_over.noted.order
    ]
    for position in {event.position for event in record.of(Tightening)}:
        now = record.current(position)
        if now.loosening and now.loosening.noted.order > hand_over.noted.order:
            reasons.append(("loosened since", now.loosening.noted.entry))
        if now.mark and now.mark_state is not MarkState.INTACT:
            reasons.append((f"mark {now.mark_state}", now.mark.noted.entry))
    return [
        {"subject": subject, "job": int(record.number), "reason": reason, "entry": entry}
        for reason, entry in sorted(set(reasons))
    ]


def _reopens(fact: Fact, hand_over: HandOver) -> bool:
    """Whether something done after the vehicle left may have left a stop behind; a confirming click moved nothing."""
    if fact.noted.order < hand_over.noted.order:
        return False
    if isinstance(fact, StepDone):
        return fact.answer == "no"
    return isinstance(fact, Tightening) and fact.outcome is not Outcome.CLICKED_ONLY


def _after_release(record: JobRecord, strike: Strike) -> bool:
    return record.release is not None and strike.noted.entry > record.release.noted.entry


def _events(subject: str, record: JobRecord) -> list[Row]:
    return [
        {
            "subject": subject,
            "vehicle": record.vehicle,
            "position": fact.position,
            "happened_at": _stamp(fact.noted.happened_at.isoformat()),
            "job": int(record.number),
            "entry": fact.noted.entry,
            "kind": "loosened" if isinstance(fact, Loosening) else "tightened",
            "wrench": None if isinstance(fact, Loosening) else fact.wrench or None,
        }
        for fact in record.facts
        if isinstance(fact, Tightening | Loosening)
    ]


def _measurements(subject: str, record: JobRecord) -> list[Row]:
    return [
        {
            **_on_vehicle(subject, record, fact),
            "kind": fact.kind,
            "value": str(fact.value),
            "unit": fact.unit,
            "conditions": pairs_text(fact.conditions),
        }
        for fact in record.of(Measured)
    ]


def _parts(subject: str, record: JobRecord) -> list[Row]:
    return [
        {
            **_on_vehicle(subject, record, fact),
            "part": fact.part,
            "lot": fact.lot,
            "new": int(fact.new),
            "attributes": pairs_text(fact.attributes),
        }
        for fact in record.of(PartFitted)
    ]


def _on_vehicle(subject: str, record: JobRecord, fact: Measured | PartFitted) -> Row:
    return {
        "subject": subject,
        "vehicle": record.vehicle,
        "key": fact.key,
        "happened_at": _stamp(fact.noted.happened_at.isoformat()),
        "odometer_m": _nearest_odometer(record, fact.noted.happened_at),
        "job": int(record.number),
        "entry": fact.noted.entry,
    }


def _nearest_odometer(record: JobRecord, moment: datetime) -> int | None:
    """What was read in this job nearest in time: before the work a job is opened, after that of a re-check it ends."""
    readings = [(abs(when - moment), when, entry, metres) for when, metres, entry in record.odometers()]
    return min(readings)[-1] if readings else None


def _concession_row(subject: str, record: JobRecord, index: int) -> Row:
    granted = record.concessions()[index]
    return {
        "subject": subject,
        "job": int(record.number),
        "rule": granted.covers.rule,
        "about": granted.covers.subject,
        "entry": granted.noted.entry,
        "by": granted.noted.by,
        "granted_on": _stamp(granted.noted.recorded_at.isoformat()),
        "expires_on": granted.expires_on.isoformat(),
    }


def _reading(subject: str, vehicle: str, happened_at: str, metres: int, entry: int) -> Row:
    return {
        "subject": subject,
        "vehicle": vehicle,
        "happened_at": _stamp(happened_at),
        "metres": metres,
        "entry": entry,
    }


def _stamp(text: str) -> str:
    return text.replace("+00:00", "Z")


def _wrench_rows(subject: str, entries: Sequence["Entry"]) -> Rows:
    wrench = fold_wrench(entries)
    due_on = wrench.due.isoformat() if wrench.due else None
    state = "withdrawn" if wrench.withdrawn else "in use"
    return {"wrenches": [{"subject": subject, "wrench": wrench.number, "state": state, "due_on": due_on}]}


def _person_rows(subject: str, entries: Sequence["Entry"]) -> Rows:
    person = fold_person(entries)
    row: Row = {"subject": subject, "person": person.number, "roles": person.role, "supervisor": person.supervisor}
    return {"people": [row]}


def _vehicle_rows(subject: str, entries: Sequence["Entry"]) -> Rows:
    vehicle = fold_vehicle(entries)
    reported: list[Row] = [
        {
            "subject": subject,
            "vehicle": vehicle.number,
            "position": entry.said["position"],
            "happened_at": entry.happened_at,
            "job": None,
            "entry": entry.sequence,
            "kind": "loosened",
        }
        for entry in entries
        if entry.kind == "loosened.1"
    ]
    return {
        "vehicles": [{"subject": subject, "vehicle": vehicle.number, "tag": vehicle.tag}],
        "fastener_events": reported,
    }


def _procedure_rows(subject: str, entries: Sequence["Entry"]) -> Rows:
    entered = entries[0]
    reads = [entry for entry in entries if entry.kind == "read.1"]
    plain = entered.judged["procedure"]
    return {
        "procedures": [
            {
                "subject": subject,
                "digest": entered.key,
                "name": plain["name"],
                "title": plain["title"],
                "edition": plain["edition"],
                "read_by": reads[-1].who if reads else None,
                "read_on": reads[-1].happened_at if reads else None,
            }
        ]
    }


WRITERS = {
    "job": _job_rows,
    "wrench": _wrench_rows,
    "person": _person_rows,
    "vehicle": _vehicle_rows,
    "procedure": _procedure_rows,
}
