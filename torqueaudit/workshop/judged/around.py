"""What a rule may know besides the job itself: loaded from the book, and frozen, before any rule runs."""

from datetime import datetime

from torqueaudit.book import vehicle_queries
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.job.record import Job, JobRecord
from torqueaudit.model.judged.around import Anew, Around, FollowUp
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.past import past_of
from torqueaudit.workshop.wrenches.anew import as_known_today
from torqueaudit.workshop.wrenches.in_hand import take


def around_of(workshop: Workshop, job: Job, now: datetime | None = None) -> Around:
    """The surroundings of a job, loaded and frozen, at this moment or the given one."""
    settings, at, vehicle = workshop.settings, now or workshop.clock(), job.record.vehicle
    past = past_of(workshop, vehicle)
    used = {t.wrench for t in job.record.of(Tightening) if t.wrench}
    wrenches = {number: wrench for number in used if (wrench := workshop.wrench(number))}
    taken = {number: take(workshop.book, settings, wrench, at) for number, wrench in wrenches.items()}
    people = {fact.noted.by for fact in job.record.facts}
    return Around(
        now=at,
        settings=settings,
        vehicle=past.vehicle,
        people={number: person for number in people if (person := workshop.person(number))},
        wrenches=wrenches,
        cycles={number: each.cycles for number, each in taken.items()},
        overloads={number: each.overload for number, each in taken.items() if each.overload},
        others=tuple(event for event in past.events if event.job != job.number),
        read_by=workshop.procedure(job.record.digest).read_by,
        trouble=workshop.plugins.trouble(settings.expects, job.procedure.needs),
        measured=past.measured,
        fitted=past.fitted,
        odometers=past.odometers,
        hours=past.hours,
        before=_before(workshop, job.record),
        followed_by=_followed_by(workshop, job.record),
        anew=_anew(workshop, job.record, wrenches),
        presence=vehicle_queries.presence_at(workshop.book, vehicle, stamp(at)),
    )


def _anew(workshop: Workshop, record: JobRecord, wrenches: dict[str, Wrench]) -> dict[int, Anew]:
    """The passes of wrenches that were put right, where that makes another torque of them."""
    put_right = {number: wrench for number, wrench in wrenches.items() if wrench.changes}
    told = [done for done in record.of(Tightening) if done.wrench in put_right] if put_right else []
    known = [(done, as_known_today(workshop.plugins, put_right[done.wrench], done)) for done in told]
    since = {number: wrench.put_right_in("lever_mm") for number, wrench in put_right.items()}
    return {done.noted.entry: Anew(now, since[done.wrench]) for done, now in known if now is not done}


def _before(workshop: Workshop, record: JobRecord) -> Job | None:
    before = workshop.job(record.follows) if record.follows else None
    return before if before and before.record.vehicle == record.vehicle else None


def _followed_by(workshop: Workshop, record: JobRecord) -> tuple[FollowUp, ...]:
    numbers = map(str, vehicle_queries.jobs_following(workshop.book, int(record.number), record.vehicle))
    return tuple(_follow_up(workshop, workshop.record(number)) for number in numbers)


def _follow_up(workshop: Workshop, record: JobRecord) -> FollowUp:
    work = workshop.procedure_of(record).work if record.only else ()
    released_at = record.release.noted.happened_at if record.release else None
    return FollowUp(record.number, released_at, frozenset(item.key for item in work))
