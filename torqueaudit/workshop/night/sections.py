"""What is to be decided, in the order in which it matters: the one place that a night and a list of today both ask."""

from collections.abc import Iterable, Iterator

from torqueaudit.model.shown.night import Line, NightSection
from torqueaudit.workshop.night.audit import plugin_trouble, rest
from torqueaudit.workshop.night.day import DayEntries
from torqueaudit.workshop.night.desk import Desk, Flagged
from torqueaudit.workshop.night.here import arrived, for_the_foreman, to_confirm
from torqueaudit.workshop.night.rechecks import arranged, days_asked, due, rechecks_missed
from torqueaudit.workshop.night.road import (
    concessions_of_day,
    gone_or_untouched,
    on_the_road,
    superseded,
    waiting_for_check,
)

NOT_AUDITED, NOT_AUDITED_TITLE = "could-not-audit", "Could not be audited"
NIGHTS_MISSED, NIGHTS_MISSED_TITLE = "nights-missed", "Nights that were not audited"  # told where there are any
REST, REST_TITLE = "rest", "The rest"
MISSED = frozenset({NIGHTS_MISSED, "on-the-road", "gone-or-untouched", "re-checks-missed"})


def sections_of(desk: Desk, waiting: list[Flagged], before: Iterable[Line] = ()) -> tuple[NightSection, ...]:
    """Every section, the most urgent first.

    `waiting` are the jobs whose re-check is due by now or soon, and `before` is told first of what could not be
    audited.
    """
    entries, road = DayEntries(desk), tuple(on_the_road(desk))
    sections = (
        NightSection("on-the-road", "On the road with a disturbed mark or an open stop", road),
        NightSection(
            "gone-or-untouched", "Gone without release, or untouched for days", tuple(gone_or_untouched(desk, entries))
        ),
        NightSection("re-checks-missed", "Re-checks missed", tuple(rechecks_missed(waiting))),
        NightSection("for-the-foreman", "Waiting for the foreman", tuple(for_the_foreman(desk))),
        NightSection("concessions", "Concessions of the day", tuple(concessions_of_day(desk))),
        NightSection("due", "Re-checks due and due soon", (*days_asked(desk), *due(waiting))),
        NightSection("waiting-for-check", "Waiting for an independent check", tuple(waiting_for_check(desk, road))),
        NightSection("to-confirm", "Read from a log, and not confirmed", tuple(to_confirm(desk))),
        NightSection("arrived", "Arrived, and not begun", tuple(arrived(desk))),
        NightSection(REST, REST_TITLE, tuple(_rest(desk, waiting, entries))),
    )
    # Last, because loading the jobs above is what shows which of them cannot be read.
    lines = (*before, *plugin_trouble(desk), *entries.faults(), *desk.faults())
    return (NightSection(NOT_AUDITED, NOT_AUDITED_TITLE, lines), *sections)


def _rest(desk: Desk, waiting: list[Flagged], entries: DayEntries) -> Iterator[Line]:
    yield from superseded(desk, waiting)
    yield from arranged(desk, waiting, entries.of_day(*desk.utc_day))
    yield from rest(desk, entries)
