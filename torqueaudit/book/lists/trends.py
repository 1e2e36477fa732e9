"""The rows from which months are counted: each re-check that was done, and each mark that was found disturbed."""

from torqueaudit.book.lists.upkeep import Row
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.job.facts import MarkSeen, MarkState
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import HandOver, Recheck, RecheckAnswered
from torqueaudit.model.recheck.arranged import target_of


def recheck_rows(record: JobRecord) -> list[Row]:
    """Each re-check that was done, with the day it was due by then: planned at its leaving, or put off to."""
    later = [left.noted.order for left in record.of(HandOver) if left.plans][1:]
    before = (record._replace(facts=tuple(each for each in record.facts if each.noted.order < end)) for end in later)
    return [_done(each, each.recheck) for each in (*before, record) if each.recheck]


def _done(record: JobRecord, look: Recheck | RecheckAnswered) -> Row:
    due_on = target_of(record).on
    return {
        "job": int(record.number),
        "due_on": due_on.isoformat() if due_on else None,
        "done_at": stamp(look.noted.happened_at),
        "entry": look.noted.entry,
    }


def disturbed_rows(record: JobRecord) -> list[Row]:
    """Each look at a mark that found it disturbed."""
    return [
        {
            "position": seen.position,
            "happened_at": stamp(seen.noted.happened_at),
            "job": int(record.number),
            "entry": seen.noted.entry,
        }
        for seen in record.of(MarkSeen)
        if seen.state is MarkState.DISTURBED
    ]
