"""The nightly report asked for: what a day has missed, in the order in which it matters."""

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.nights import JUDGED
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.night import Line, Night, NightSection
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.refusal import why_of
from torqueaudit.workshop.night.desk import Desk
from torqueaudit.workshop.night.in_full import last_in_full, rules_of, subject_of
from torqueaudit.workshop.night.rechecks import pending
from torqueaudit.workshop.night.sections import MISSED, NOT_AUDITED, NOT_AUDITED_TITLE, REST, REST_TITLE, sections_of
from torqueaudit.workshop.night.trends import trends_of
from torqueaudit.workshop.night.upkeep import with_upkeep
from torqueaudit.workshop.night.verified import EACH_NIGHT, Verified, verified

if TYPE_CHECKING:
    from torqueaudit.model.shown.section import ExtraSection
    from torqueaudit.workshop.door.workshop import Workshop


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
    waiting = pending(desk)
    sections = with_upkeep(desk.workshop, sections_of(desk, waiting, proof.lines()), desk.day)
    night = _night(desk.workshop, desk.day, head, proof, sections)._replace(
        judged_in_full=desk.day if desk.full else desk.before and desk.before.day,
        unreached=desk.unreached(sections),
        trends=trends_of(desk, waiting),
    )
    return _with_extra(desk, with_code(night))


def _not_judged(workshop: "Workshop", day: date, head: str, proof: Verified, error: Exception) -> Night:
    """The night of a book whose faults break the judging as well: they are told, and nothing else is."""
    broke = Line(f"Nothing could be judged, because of what is wrong with it ({why_of(error)}).")
    lines = (*proof.lines(), broke)
    sections = (NightSection(NOT_AUDITED, NOT_AUDITED_TITLE, lines), NightSection(REST, REST_TITLE, ()))
    return with_code(_night(workshop, day, head, proof, sections))


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
