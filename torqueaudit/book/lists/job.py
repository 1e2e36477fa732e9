"""The rows of a job: its own, why it stands out, what it needs, what was conceded, and those of its vehicle."""

from collections.abc import Sequence
from datetime import timedelta

from torqueaudit.book.lists.attention import attention_rows
from torqueaudit.book.lists.sign_off import sign_off_rows
from torqueaudit.book.lists.trends import disturbed_rows, recheck_rows
from torqueaudit.book.lists.upkeep import Row, Rows
from torqueaudit.book.lists.vehicle import event_rows, measurement_rows, odometer_rows, part_rows, visit_rows
from torqueaudit.ledger.entry import Entry, stamp
from torqueaudit.model.job.facts import Concession
from torqueaudit.model.job.record import FastenerState, JobRecord, fold_record
from torqueaudit.model.recheck.arranged import REFUSED, Target, arranged_as, target_of
from torqueaudit.model.recheck.estimate import estimated_on


def job_rows(entries: Sequence[Entry]) -> Rows:
    """Whatever a withdrawn job did to its vehicle is left out."""
    record = fold_record(entries)
    opening = entries[0]
    return {
        "jobs": [_job_row(record, opening)],
        "attention": attention_rows(record),
        "needs": [{"job": int(record.number), "plugin": name} for name in opening.judged["needs"]],
        "fastener_events": [] if record.withdrawn else event_rows(record),
        "odometer": odometer_rows(record),
        "visits": visit_rows(record),
        "measurements": [] if record.withdrawn else measurement_rows(record),
        "parts": [] if record.withdrawn else part_rows(record),
        "concessions": [_concession_row(record, granted) for granted in record.concessions()],
        "rechecks_done": [] if record.withdrawn else recheck_rows(record),
        "marks_disturbed": [] if record.withdrawn else disturbed_rows(record),
        "sign_offs": sign_off_rows(int(record.number), entries),
    }


def _job_row(record: JobRecord, opening: Entry) -> Row:
    hand_over, arranged = record.hand_over, arranged_as(record)
    target = Target() if arranged == REFUSED else target_of(record)
    return {
        "job": int(record.number),
        "vehicle": record.vehicle,
        "procedure": record.digest,
        "title": opening.judged["title"],
        "token": record.token,
        "state": record.state.value,
        "opened_on": opening.happened_at,
        "last_recorded": stamp(record.last.recorded_at),
        "handed_over_on": stamp(hand_over.noted.happened_at) if hand_over else None,
        "released": int(record.release is not None and not record.unsigned),
        "due_on": target.on.isoformat() if target.on else None,
        "due_distance_m": target.distance_m,
        "due_min": target.minutes,
        "estimated_on": _estimated_on(record),
        "odometer_m": hand_over.odometer_m if hand_over else record.odometer_m,
        "rechecked_on": stamp(record.recheck.noted.happened_at) if record.recheck else None,
        "unchecked": _unchecked(record, opening),
        "holds": opening.judged["holds"],
        "withdrawn": int(record.withdrawn),
        "follows": int(record.follows) if record.follows else None,
        "arranged": arranged or None,
    }


def _estimated_on(record: JobRecord) -> str | None:
    """By the days of UTC, and one day too early: what is local is asked of the job."""
    left = record.first_ride
    day = estimated_on(record, left.noted.happened_at.date() - timedelta(days=1)) if left else None
    return day.isoformat() if day else None


def _unchecked(record: JobRecord, opening: Entry) -> int:
    """How many fasteners are tightened and wait for the second person's look."""
    if record.withdrawn:
        return 0
    waiting = [record.current(position) for position in opening.judged["checks"]]
    return sum(now.state is FastenerState.TIGHTENED and now.check is None for now in waiting)


def _concession_row(record: JobRecord, granted: Concession) -> Row:
    return {
        "job": int(record.number),
        "rule": granted.covers.rule,
        "about": granted.covers.subject,
        "entry": granted.noted.entry,
        "by": granted.noted.by,
        "granted_on": stamp(granted.noted.recorded_at),
        "expires_on": granted.expires_on.isoformat(),
    }
