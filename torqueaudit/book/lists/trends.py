"""The rows from which months are counted: each re-check that was done, and each mark that was found disturbed."""

from itertools import pairwise

from torqueaudit.book.lists.upkeep import Row
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.job.facts import HandOver, MarkSeen, MarkState, Recheck, RecheckAnswered
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.recheck.arranged import target_of


def recheck_rows(record: JobRecord) -> list[Row]:
    """Each re-check that was done, with the day that was planned for it at its leaving, or that it was put off to."""
    planned = [left for left in record.of(HandOver) if left.plans]
    found = []
    for left, following in pairwise(planned):
        looks = [each for each in record.of(Recheck) if left.noted.order < each.noted.order < following.noted.order]
        found += [_done(record, left.due_on.isoformat() if left.due_on else None, look) for look in looks[:1]]
    if record.recheck:
        target = target_of(record)
        found.append(_done(record, target.on.isoformat() if target.on else None, record.recheck))
    return found


def _done(record: JobRecord, due_on: str | None, look: Recheck | RecheckAnswered) -> Row:
    return {
        "job": int(record.number),
        "due_on": due_on,
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
