"""A job asked for: the record, the procedure and today's findings put into one picture."""

from collections.abc import Iterator
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.job.facts import Measured, PartFitted, StepDone, Strike
from torqueaudit.model.job.record import Job, JobRecord
from torqueaudit.model.job.road import DayAsked, HandOver, RecheckAnswered, RecheckReferred
from torqueaudit.model.job.words import conditions_text, measured_text
from torqueaudit.model.judged.around import Around, VehicleHours, VehicleOdometer
from torqueaudit.model.judged.finding import Weight
from torqueaudit.model.judged.overtaken import Later, later_jobs, recheck_overtaken, still_to_look_at
from torqueaudit.model.judged.unsigned import unsigned_work
from torqueaudit.model.procedure.procedure import Fastener, Measurement, Step, Work
from torqueaudit.model.recheck.arranged import arranged_text, target_of
from torqueaudit.model.recheck.estimate import estimated
from torqueaudit.model.recheck.state import WAITING, Now, standing_of
from torqueaudit.model.shown.job import (
    BookView,
    FastenerView,
    FindingView,
    FollowedView,
    HandOverView,
    ItemView,
    JobView,
    OpeningView,
    ProcedureView,
    ReleaseView,
)
from torqueaudit.model.shown.recheck import ArrangedView, AskedDay, RecheckView
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.fastener_view import fastener_view, local, photo_view
from torqueaudit.workshop.judged.next import to_do_on
from torqueaudit.workshop.judged.panels import panels_of
from torqueaudit.workshop.judged.review import Judged, review

if TYPE_CHECKING:
    from torqueaudit.model.job.follow_up import Carried
    from torqueaudit.model.register.settings import Settings
    from torqueaudit.workshop.door.workshop import Workshop

LOOKED = {"yes": "in order", "no": "fault found"}

WARNINGS = (
    "The vehicle maker's manual, local rules and licensed practice come first; this record supplies no specification.",
    "True as far as it was recorded; others may have worked on the vehicle since.",
    "A whole paint mark shows that nothing has turned since it was painted, not how tight it is.",
)


def show_job(workshop: "Workshop", number: str) -> JobView:
    """A job as it stands now, with a head that may be shown. Raises Refused when there is none of that number."""
    view = look_at(workshop, number).view
    return view._replace(book=told(workshop, view.book))


def view_of(workshop: "Workshop", number: str) -> JobView:
    """A job as it stands now, for whoever does not show a head. Raises Refused when there is none of that number."""
    return headed(workshop, look_at(workshop, number).view)


class Look(NamedTuple):
    """A job, its surroundings, and its picture in them without a head, which every act on any job changes."""

    job: Job
    around: Around
    view: JobView


def look_at(workshop: "Workshop", number: str) -> Look:
    """A job as it stands now: what a server has judged before, as long as that holds. Raises Refused for none.

    It is shown, and not acted on: an act judges anew, by the second at which it is told.
    """

    def judged() -> Look:
        job = workshop.job(number)
        around = around_of(workshop, job)
        return Look(job, around, _picture(workshop, job, around))

    return workshop.kept.get("job", number, judged) if workshop.kept else judged()


def headed(workshop: "Workshop", view: JobView) -> JobView:
    """A picture with where the ledger stands; whoever shows its head tells that first, see `told`."""
    return view._replace(book=view.book._replace(head=str(workshop.book.head())))


def picture(workshop: "Workshop", job: Job, around: Around) -> JobView:
    """A job as judged in these surroundings; whoever shows its head tells that first, see `told`."""
    return headed(workshop, _picture(workshop, job, around))


def _picture(workshop: "Workshop", job: Job, around: Around) -> JobView:
    record, procedure = job.record, job.procedure
    judged, later = review(job, around, workshop.plugins), later_jobs(job, around)
    recheck = recheck_view(job, around, later)
    return JobView(
        number=record.number,
        token=record.token,
        vehicle=record.vehicle,
        vehicle_tag=around.vehicle.tag,
        procedure=ProcedureView(procedure.title, procedure.edition, record.digest, record.only),
        book=book_view(workshop, around.settings, around.now),
        state=_state(job),
        withdrawn=record.strikes[-1].why if record.withdrawn else "",
        opening=_opening(job, around),
        release=ReleaseView(record.release.noted.by, record.release.noted.entry) if record.release else None,
        hand_over=_hand_over(job, around),
        presence=around.presence,
        unsigned=unsigned_work(job) if record.release else (),
        follows=_followed(job, around),
        followed_by=tuple(each.job for each in around.followed_by),
        fasteners=tuple(_fasteners(job, around, later)),
        items=tuple(_items(job, around)),
        findings=tuple(_found(each) for each in judged if _is_told(each)),
        to_do=to_do_on(job, around, judged, recheck.standing.state if recheck else None, workshop.plugins),
        recheck_wanted=procedure.recheck is not None,
        recheck=recheck,
        strikes=tuple(map(_struck, record.strikes)),
        panels=panels_of(job, around, workshop.plugins),
        warnings=(*procedure.warnings, *WARNINGS),
        instrument=around.vehicle.instrument,
    )


def book_view(workshop: "Workshop", settings: "Settings", now: datetime) -> BookView:
    """Which book says so, and when, without its head."""
    return BookView(site=workshop.book.site, demo=settings.demo, head="", asked_at=now.astimezone(settings.timezone))


def told(workshop: "Workshop", view: BookView) -> BookView:
    """Which book says so, with a head that is written down beside it before anybody sees it."""
    return view._replace(head=str(workshop.book.tell_head()))


def _opening(job: Job, around: Around) -> OpeningView:
    opened = job.record.opened
    run = job.record.read
    return OpeningView(
        on=local(around, opened.happened_at).date(),
        by=opened.by,
        entry=opened.entry,
        odometer_m=job.record.odometer_m,
        run_min=run.minutes if isinstance(run, Hours) else None,
    )


def _hand_over(job: Job, around: Around) -> HandOverView | None:
    left = job.record.hand_over
    if left is None:
        return None
    return HandOverView(
        local(around, left.noted.happened_at).date(), left.odometer_m, left.noted.entry, run_min=left.run_min
    )


def _followed(job: Job, around: Around) -> FollowedView | None:
    if not job.record.follows:
        return None
    carried = _carried(job, around)
    put_right = tuple(each.says for each in carried if _released_since(job, each))
    return FollowedView(job.record.follows, tuple(each.says for each in carried), put_right)


def _struck(strike: Strike) -> str:
    return f"entry {strike.entry} ({strike.what}) struck by {strike.noted.by}: {strike.why}"


def _carried(job: Job, around: Around) -> "tuple[Carried, ...]":
    if around.before is None:
        return ()
    from torqueaudit.model.job.follow_up import carried_over  # few jobs follow another

    return carried_over(around.before, job, lambda position, since: around.undone(position, since) is not None)


def _released_since(job: Job, carried: "Carried") -> bool:
    """Whether what another job found was put right by this one, as that job's own rule has it."""
    release = None if job.record.withdrawn else job.record.release
    return release is not None and release.noted.happened_at > carried.found_at


def _state(job: Job) -> str:
    record = job.record
    if record.hand_over and record.release is None and not record.withdrawn:
        return f"{record.state}, never released"
    if record.hand_over and record.unsigned and not record.withdrawn:
        return f"{record.state}, with work that nobody has signed"
    return record.state.value


def item_view(job: Job, item: Work) -> ItemView:
    """A step, a measurement or a part, and what stands of it."""
    record = job.record
    if isinstance(item, Measurement):
        taken = record.measured(item.key)
        return _item_view("measurement", item, _taken(item, taken) if taken else "", taken)
    if isinstance(item, Step):
        done = record.steps(item.key)
        return _item_view("step", item, _answer(item, done) if done else "", done)
    fitted = record.fitted(item.key)
    return _item_view("part", item, part_text(fitted) if fitted else "", fitted)


def _taken(item: Measurement, taken: Measured) -> str:
    place = f" ({taken.place})" if taken.place else ""
    says = f"; {taken.says}" if taken.says else ""
    under = f"; {conditions_text(taken)}" if taken.conditions else ""
    return f"{measured_text(taken, item.lower, item.upper)}{place}{says}{under}"


def _answer(step: Step, done: StepDone) -> str:
    answer = LOOKED.get(done.answer, done.answer) if step.look else done.answer
    return f"{answer} ({done.remark})" if done.remark else answer


def part_text(part: PartFitted) -> str:
    """A part as it was told: "washer 18 mm, lot L-7, new"."""
    lot = f", lot {part.lot}" if part.lot else ""
    attributes = "".join(f", {name}: {value}" for name, value in part.attributes)
    return f"{part.part}{lot}, {'new' if part.new else 'used before'}{attributes}"


def _item_view(kind: str, item: Work, said: str, told: Measured | StepDone | PartFitted | None) -> ItemView:
    return ItemView(
        kind=kind,
        key=item.key,
        name=item.name,
        said=said,
        limits=item.written if isinstance(item, Measurement) else "",
        by=told.noted.by if told else "",
        entry=told.noted.entry if told else None,
    )


def _is_told(judged: Judged) -> bool:
    """Stops and cautions on what another job has done since are not this one's any more."""
    return not judged.overtaken or judged.finding.weight is Weight.NOTE


def _found(judged: Judged) -> FindingView:
    granted = judged.concession
    if granted is None:
        return FindingView(judged.finding, "")
    says = f"conceded by {granted.noted.by} until {granted.expires_on}: {granted.basis}; limit: {granted.limit}"
    return FindingView(judged.finding, says, granted.limit)


def _items(job: Job, around: Around) -> Iterator[ItemView]:
    for item in job.procedure.work:
        if not isinstance(item, Fastener):
            photos = tuple(photo_view(job, around, each, ()) for each in job.record.photos(item.key))
            yield item_view(job, item)._replace(photos=photos)


def _fasteners(job: Job, around: Around, later: Later) -> Iterator[FastenerView]:
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            yield fastener_view(job, around, fastener, position, later=later.by_position[position])


def recheck_of(job: Job, around: Around) -> RecheckView | None:
    """The look after the first ride of a job by itself, for an act on it."""
    return recheck_view(job, around, later_jobs(job, around))


def recheck_view(job: Job, around: Around, later: Later) -> RecheckView | None:
    """The look after the first ride; None where none is planned, or the vehicle has not left."""
    record, left = job.record, job.record.first_ride
    if job.procedure.recheck is None or left is None:
        return None
    instrument = around.vehicle.instrument
    run, is_estimated = _run_of(around, record, left)
    now = Now(
        today=around.today,
        odometer_m=None if isinstance(run, Hours) else run,
        presence=around.presence,
        overtaken=recheck_overtaken(job, around, later),
        minutes=run.minutes if isinstance(run, Hours) else None,
        exchanges=around.vehicle.exchanges,
        estimated=is_estimated,
    )
    done, target = record.recheck, target_of(record, around.vehicle.exchanges)
    looks = () if done else still_to_look_at(job, around, later)
    standing = standing_of(job.procedure.recheck, record, now)
    return RecheckView(
        due_on=target.on,
        due_distance_m=target.distance_m,
        standing=standing,
        done_on=local(around, done.noted.happened_at).date() if done else None,
        done_by=done.noted.by if done else "",
        looks=tuple(look.says for look in looks),
        arranged=_arranged(job, around),
        done_elsewhere=isinstance(done, RecheckAnswered),
        asked=_asked(record.day_asked) if standing.state in WAITING else None,
        due_min=target.minutes,
        instrument=instrument,
    )


def _run_of(around: Around, record: JobRecord, left: HandOver) -> tuple[Run | None, bool]:
    """What was read last off the vehicle, or where nobody has since it left, what its own history makes of it."""
    if around.vehicle.instrument is Instrument.NONE:
        return None, False
    newest: VehicleHours | VehicleOdometer | None
    if around.vehicle.instrument is Instrument.HOURS:
        newest = around.hours[-1] if around.hours else None
    else:
        newest = around.odometers[-1] if around.odometers else None
    if newest is None:
        return None, False
    if (newest.happened_at, newest.entry) <= (left.noted.happened_at, left.noted.entry):
        days = (around.today - local(around, left.noted.happened_at).date()).days
        if (by_history := estimated(record, days)) is not None:
            return by_history, True
    return Hours(newest.minutes) if isinstance(newest, VehicleHours) else newest.metres, False


def _asked(day: DayAsked | None) -> AskedDay | None:
    return AskedDay(day.on, day.half, day.noted.entry, day.noted.by) if day else None


def _arranged(job: Job, around: Around) -> ArrangedView | None:
    """What was agreed last about the re-check."""
    agreed = job.record.arranged
    if agreed is None:
        return None
    return ArrangedView(
        what=arranged_text(agreed, around.vehicle.instrument),
        on=local(around, agreed.noted.happened_at).date(),
        by=agreed.noted.by,
        entry=agreed.noted.entry,
        to_whom=agreed.to_whom if isinstance(agreed, RecheckReferred) else "",
        why=agreed.remark if isinstance(agreed, RecheckAnswered) else agreed.why,
    )
