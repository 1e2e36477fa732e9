"""How the re-checks of the last twelve months went, and which marks were found disturbed in them."""

import re
from collections import Counter
from collections.abc import Iterator
from datetime import date
from itertools import dropwhile
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.ledger.entry import moment_of, stamp
from torqueaudit.model.recheck.state import RecheckState
from torqueaudit.model.register.settings import begin_of
from torqueaudit.model.shown.trends import DisturbedMarks, MonthOfRechecks, Trends

if TYPE_CHECKING:
    from collections.abc import Iterable

    from torqueaudit.workshop.night.desk import Desk, Flagged

MONTHS = 12
MOST_FASTENERS = 8  # of which marks are told
_NUMBER = re.compile(r"-[0-9]+$")  # of a bolt in its group


def trends_of(desk: "Desk", waiting: "Iterable[Flagged]") -> Trends:
    """The months up to that of the night's day, from the first one with a re-check due, and the marks of all twelve.

    `waiting` are the jobs whose re-check is not done: one that is missed counts as not done, in the month of its day.
    One that a later job has overtaken, that was refused or handed on, or whose vehicle is gone, counts nowhere.
    """
    first = _first_month(desk.day)
    counted: dict[date, Counter[str]] = {month: Counter() for month in _months(first, desk.day)}
    for row in queries.rechecks_done(desk.book, first.isoformat(), desk.day.isoformat()):
        due_on, done_at = date.fromisoformat(row.due_on), moment_of(row.done_at)
        if done_at <= desk.end:
            in_time = desk.local_day(done_at) <= due_on
            counted[due_on.replace(day=1)]["in time" if in_time else "later"] += 1
    for each in waiting:
        planned = each.view.recheck.due_on if each.view.recheck else None
        if planned and first <= planned <= desk.day and each.standing.state is RecheckState.MISSED:
            counted[planned.replace(day=1)]["not done"] += 1
    months = [
        MonthOfRechecks(month, each["in time"], each["later"], each["not done"]) for month, each in counted.items()
    ]
    return Trends(tuple(dropwhile(lambda each: not each.due, months)), tuple(_marks(desk, first)))


def _marks(desk: "Desk", first: date) -> Iterator[DisturbedMarks]:
    since = begin_of(first, desk.settings.timezone)
    positions = queries.marks_disturbed(desk.book, stamp(since), stamp(desk.end))
    found = Counter(_NUMBER.sub("", position) for position in positions)
    ordered = sorted(found.items(), key=lambda each: (-each[1], each[0]))
    yield from (DisturbedMarks(fastener, times) for fastener, times in ordered[:MOST_FASTENERS])


def _first_month(day: date) -> date:
    """The first day of the month eleven before."""
    months = day.year * 12 + day.month - MONTHS
    return date(months // 12, months % 12 + 1, 1)


def _months(first: date, last: date) -> Iterator[date]:
    for each in range(MONTHS):
        months = first.year * 12 + first.month - 1 + each
        month = date(months // 12, months % 12 + 1, 1)
        if month <= last:
            yield month
