"""The nightly report asked for: what a day has missed, in the order in which it matters."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.nights import JUDGED
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.night import Line, Night, NightSection
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.night.audit import plugin_trouble, rest
from torqueaudit.workshop.night.day import DayEntries
from torqueaudit.workshop.night.desk import Desk, Flagged, why_of
from torqueaudit.workshop.night.in_full import last_in_full, rules_of, subject_of
from torqueaudit.workshop.night.rechecks import arranged, days_asked, due, pending, rechecks_missed
from torqueaudit.workshop.night.road import (
    concessions_of_day,
    gone_or_untouched,
    on_the_road,
    superseded,
    waiting_for_check,
)
from torqueaudit.workshop.night.verified import EACH_NIGHT, Verified, verified

if TYPE_CHECKING:
    from torqueaudit.model.shown.section import ExtraSection
    from torqueaudit.workshop.door.workshop import Workshop

NOT_AUDITED, NOT_AUDITED_TITLE = "could-not-audit", "Could not be audited"
NIGHTS_MISSED, NIGHTS_MISSED_TITLE = "nights-missed", "Nights that were not audited"  # told where there are any
REST = "rest"
MISSED = frozenset({NIGHTS_MISSED, "on-the-road", "gone-or-untouched", "re-checks-missed"})


def night_of(workshop: "Workshop", day: date | None = None, *, each_night: int = EACH_NIGHT) -> Night:
    """Today's book verified, and judged at the end of a local day, yesterday where none is given.

    Only flagged jobs are loaded. A book of more than `each_night` entries is verified whole once a week. Raises Refused
    for a day that has not come.
    """
    day = day or workshop.today() - timedelta(days=1)
    if day > workshop.today():
        raise Refused(f"{day} has not come yet; give today or an earlier day")
    head = str(workshop.book.tell_head())
    before = last_in_full(workshop.book)
    proof = verified(workshop, before, day, each_night)
    try:
        return _judged(Desk(workshop, day, before), head, proof)
    except Exception as error:
        if not proof.faults:
            raise
        return _not_judged(workshop, day, head, proof, error)


def _judged(desk: Desk, head: str, proof: Verified) -> Night:
    entries = DayEntries(desk)
    waiting = pending(desk)
    sections = [
        NightSection("on-the-road", "On the road with a disturbed mark or an open stop", tuple(on_the_road(desk))),
        NightSection(
            "gone-or-untouched", "Gone without release, or untouched for days", tuple(gone_or_untouched(desk, entries))
        ),
        NightSection("re-checks-missed", "Re-checks missed", tuple(rechecks_missed(waiting))),
        NightSection("concessions", "Concessions of the day", tuple(concessions_of_day(desk))),
        NightSection("due", "Re-checks due and due soon", (*days_asked(desk), *due(waiting))),
        NightSection("waiting-for-check", "Waiting for an independent check", tuple(waiting_for_check(desk))),
        NightSection(REST, "The rest", tuple(_rest(desk, waiting, entries))),
    ]
    # Last, because loading the jobs above is what shows which of them cannot be read.
    lines = (*proof.lines(), *plugin_trouble(desk), *entries.faults(), *desk.faults())
    sections = [NightSection(NOT_AUDITED, NOT_AUDITED_TITLE, lines), *sections]
    night = _night(desk.workshop, desk.day, head, proof, tuple(sections))
    full = desk.day if desk.full else desk.before and desk.before.day
    unreached = desk.unreached(line for section in sections for line in section.lines)
    return _with_extra(desk, with_code(night._replace(judged_in_full=full, unreached=unreached)))


def _rest(desk: Desk, waiting: list[Flagged], entries: DayEntries) -> Iterator[Line]:
    yield from superseded(desk, waiting)
    yield from arranged(desk, waiting, entries.of_day(*desk.utc_day))
    yield from rest(desk, entries)


def _not_judged(workshop: "Workshop", day: date, head: str, proof: Verified, error: Exception) -> Night:
    """The night of a book whose faults break the judging as well: they are told, and nothing else is."""
    broke = Line(f"Nothing could be judged, because of what is wrong with it ({why_of(error)}).")
    lines = (*proof.lines(), broke)
    empty = NightSection(REST, "The rest", ())
    return with_code(_night(workshop, day, head, proof, (NightSection(NOT_AUDITED, NOT_AUDITED_TITLE, lines), empty)))


def _night(workshop: "Workshop", day: date, head: str, proof: Verified, sections: tuple[NightSection, ...]) -> Night:
    settings = workshop.settings
    return Night(
        date=day,
        site=workshop.book.site,
        demo=settings.demo,
        sections=sections,
        head=head,
        asked_at=workshop.clock().astimezone(settings.timezone),
        exit_code=0,
        sound=not proof.faults,
        verified_in_full=proof.whole_on,
        verified_to=proof.whole_to,
        judged_in_full=None,
        rules=rules_of(workshop.plugins),
    )


def keep_in_full(workshop: "Workshop", night: Night, say: Say) -> None:
    """Record that a night judged everything on the road, so that the nights after it need not.

    Nothing is written behind what does not verify: such a book is kept as it is.
    """
    if night.judged_in_full != night.date or not night.sound:
        return
    subject = subject_of(workshop.book)
    on_the_road = next(section for section in night.sections if section.key == "on-the-road")
    said: dict[str, Any] = {
        "day": night.date.isoformat(),
        "jobs": sorted({line.job for line in on_the_road.lines}, key=int),
        "rules": list(night.rules),
    }
    if night.verified_in_full:
        said |= {"verified_on": night.verified_in_full.isoformat(), "verified_to": night.verified_to}

    def build(attempt: Attempt) -> list[Draft]:
        attempt.entries(subject)
        return [attempt.draft(subject, JUDGED, said)]

    record(workshop, say, ActName.JUDGE_IN_FULL, subject, said, build)


def with_line(night: Night, key: str, line: Line) -> Night:
    """The night with one more line in the section of a key."""
    sections = [each._replace(lines=(*each.lines, line)) if each.key == key else each for each in night.sections]
    return with_code(night._replace(sections=tuple(sections)))


def with_code(night: Night) -> Night:
    """The night with the exit code that its sections ask for."""
    missed = any(section.lines for section in night.sections if section.key in MISSED)
    return night._replace(exit_code=2 if night.sections[0].lines else int(missed))


def _with_extra(desk: Desk, night: Night) -> Night:
    """The night with what plugins add to it; one that breaks is told among what could not be audited."""
    extra: list[ExtraSection] = []
    broken: list[Line] = []
    for answer in desk.workshop.plugins.report_sections(night, desk.told_of()):
        extra += answer.given
        if answer.fault:
            says = f"Plugin {answer.plugin}: {answer.says('added to the report')}."
            says = f"{says} What it would have added is not known; mend it and run the night again."
            broken.append(Line(says))
    first = night.sections[0]
    sections = (first._replace(lines=(*first.lines, *broken)), *night.sections[1:])
    return with_code(night._replace(sections=sections, extra=tuple(extra)))
