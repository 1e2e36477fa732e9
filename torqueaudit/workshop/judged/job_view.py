"""A job asked for: the record, the procedure and today's findings put into one picture."""

from datetime import datetime
from typing import TYPE_CHECKING

from torqueaudit.book import queries
from torqueaudit.model.job.facts import Measured, PartFitted, StepDone, Tightening
from torqueaudit.model.job.record import Current, Job, JobState
from torqueaudit.model.job.words import asked_text, beyond_text, conditions_text, measured_text
from torqueaudit.model.judged.around import Around
from torqueaudit.model.procedure.procedure import Fastener, Measurement, Step, Work
from torqueaudit.model.recheck.looks import not_looked_at
from torqueaudit.model.register.distance import distance_text
from torqueaudit.model.shown.job import FastenerView, FindingView, ItemView, JobView, RecheckView
from torqueaudit.model.torque.verdict import NOT_JUDGED
from torqueaudit.model.torque.words import likely_text, share_text, torque_text
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.next import coming
from torqueaudit.workshop.judged.panels import panels_of
from torqueaudit.workshop.judged.review import Judged, review

if TYPE_CHECKING:
    from torqueaudit.model.job.follow_up import Carried
    from torqueaudit.workshop.door.workshop import Workshop

LOOKED = {"yes": "in order", "no": "fault found"}

WARNINGS = (
    "The vehicle maker's manual, local rules and licensed practice come first; this record supplies no specification.",
    "True as far as it was recorded; others may have worked on the vehicle since.",
    "A whole paint mark shows that nothing has turned since it was painted, not how tight it is.",
)


def show_job(workshop: "Workshop", number: str) -> JobView:
    """A job as it stands now. Raises Refused when there is none of that number."""
    job = workshop.job(number)
    return picture(workshop, job, around_of(workshop, job))


def picture(workshop: "Workshop", job: Job, around: Around) -> JobView:
    """A job as judged in these surroundings."""
    record = job.record
    judged = review(job, around, workshop.plugins)
    carried = _carried(around)
    then = coming(job, judged, workshop.plugins)
    return JobView(
        number=record.number,
        site=record.site,
        token=record.token,
        vehicle=record.vehicle,
        vehicle_tag=around.vehicle.tag,
        title=job.procedure.title,
        edition=job.procedure.edition,
        digest=record.digest,
        state=_state(job),
        demo=around.settings.demo,
        opened_on=_local(around, record.opened.happened_at).date(),
        opened_by=record.opened.by,
        opened_entry=record.opened.entry,
        handed_over_on=_local(around, record.hand_over.noted.happened_at).date() if record.hand_over else None,
        odometer_m=record.hand_over.odometer_m if record.hand_over else record.odometer_m,
        released_by=record.release.noted.by if record.release else "",
        released_entry=record.release.noted.entry if record.release else None,
        hand_over_entry=record.hand_over.noted.entry if record.hand_over else None,
        follows=record.follows,
        followed_by=tuple(each.job for each in around.followed_by),
        carried=tuple(each.says for each in carried),
        put_right=tuple(each.says for each in carried if _released_since(job, each)),
        withdrawn=record.strikes[-1].why if record.withdrawn else "",
        fasteners=tuple(_fastener(job, around, f, p) for f in job.procedure.fasteners() for p in f.positions),
        items=tuple(_item(job, item) for item in job.procedure.work if not isinstance(item, Fastener)),
        findings=tuple(FindingView(each.finding, _conceded(each)) for each in judged),
        next=tuple(each.says for each in then),
        next_commands=tuple(each.command for each in then),
        recheck_wanted=job.procedure.recheck is not None,
        recheck=_recheck(workshop, job, around),
        strikes=tuple(
            f"entry {s.entry} ({s.kind.partition('.')[0]}) struck by {s.noted.by}: {s.why}" for s in record.strikes
        ),
        panels=panels_of(job, around, workshop.plugins),
        warnings=(*job.procedure.warnings, *WARNINGS),
        head=str(workshop.book.head()),
        asked_at=around.now.astimezone(around.settings.timezone),
    )


def _carried(around: Around) -> "tuple[Carried, ...]":
    if around.before is None:
        return ()
    from torqueaudit.model.job.follow_up import carried_over  # few jobs follow another

    return carried_over(around.before)


def _released_since(job: Job, carried: "Carried") -> bool:
    """Whether what another job found was put right by this one, as that job's own rule has it."""
    release = None if job.record.withdrawn else job.record.release
    return release is not None and release.noted.happened_at > carried.found_at


def _state(job: Job) -> str:
    record = job.record
    if record.state in (JobState.HANDED_OVER, JobState.RECHECKED) and record.release is None:
        return f"{record.state}, never released"
    return record.state.value


def _fastener(job: Job, around: Around, fastener: Fastener, position: str) -> FastenerView:
    now = job.record.current(position)
    done, specification = now.tightening, fastener.specification
    source = job.procedure.source(specification.source)
    return FastenerView(
        position=position,
        name=fastener.name_of(position),
        specified=asked_text(fastener),
        source=f"{source.document}, {source.edition}, page {specification.page}" if source else "",
        state=now.state.value,
        applied=f"{torque_text(done.applied_nm)}{beyond_text(done)}" if done and done.applied_nm is not None else "",
        applied_nm=done.applied_nm if done else None,
        angle_deg=done.angle_deg if done else None,
        final_nm=done.final_nm if done else None,
        drag_nm=done.drag_nm if done else None,
        slot=done.slot.value if done and done.slot else "",
        beyond=beyond_text(done) if done else "",
        shown=shown_text(done) if done else "",
        wrench=done.wrench if done else "",
        by=done.noted.by if done else "",
        when=_local(around, done.noted.happened_at) if done else None,
        outcome=done.outcome.value if done else "",
        mark=now.mark_state.value,
        mark_wanted=fastener.mark,
        mark_seen_on=_local(around, now.mark.noted.happened_at) if now.mark else None,
        check_wanted=fastener.check,
        checked_by=now.check.noted.by if now.check else "",
        check_method=now.check.method.value if now.check else "",
        undone=_undone(around, now),
        entry=done.noted.entry if done else now.loosening.noted.entry if now.loosening else None,
        expanded_nm=done.expanded_nm if done else None,
        verdict=done.verdict if done else "",
        proof=_proof(done) if done and done.verdict != NOT_JUDGED else "",
        budget=tuple(share_text(line) for line in done.budget) if done else (),
    )


def _proof(done: Tightening) -> str:
    """How the applied torque was judged: "in by simple acceptance, 98.7 % likely inside"."""
    likely = f", {likely_text(done.probability)}" if done.probability is not None else ""
    why = f": {done.not_proved}" if done.not_proved else ""
    return f"{done.verdict} by {done.rule}{likely}{why}"


def shown_text(done: Tightening) -> str:
    """What the wrench said and what stood between it and the fastener: "66 lbf·ft, adapter 50 mm at 0°"."""
    between = [
        f"adapter {each['attributes'].get('length_mm')} mm at {each['attributes'].get('angle_deg')}°"
        if each["kind"] == "adapter"
        else each["kind"]
        for each in done.fitted
    ]
    return ", ".join([done.shown, *between]) if done.shown else ""


def _undone(around: Around, now: Current) -> str:
    event = around.undone(now.position, now.tightening.noted.happened_at) if now.tightening else None
    if event is None:
        return ""
    day = event.happened_at.astimezone(around.settings.timezone).date()
    return f"undone on {day}, " + (f"see job {event.job}" if event.job else "reported")


def _local(around: Around, moment: datetime) -> datetime:
    return moment.astimezone(around.settings.timezone)


def _item(job: Job, item: Work) -> ItemView:
    record = job.record
    if isinstance(item, Measurement):
        taken = record.measured(item.key)
        said = _taken(taken) if taken else ""
        return _item_view(
            "measurement", item, said, item.written, taken.noted.by if taken else "", taken and taken.noted.entry
        )
    if isinstance(item, Step):
        done = record.steps(item.key)
        said = _answer(item, done) if done else ""
        return _item_view("step", item, said, "", done.noted.by if done else "", done and done.noted.entry)
    part = record.fitted(item.key)
    said = _part(part) if part else ""
    return _item_view("part", item, said, "", part.noted.by if part else "", part and part.noted.entry)


def _taken(taken: Measured) -> str:
    place = f" ({taken.place})" if taken.place else ""
    says = f"; {taken.says}" if taken.says else ""
    under = f"; {conditions_text(taken)}" if taken.conditions else ""
    return f"{measured_text(taken)}{place}{says}{under}"


def _answer(step: Step, done: StepDone) -> str:
    answer = LOOKED.get(done.answer, done.answer) if step.look else done.answer
    return f"{answer} ({done.remark})" if done.remark else answer


def _part(part: PartFitted) -> str:
    lot = f", lot {part.lot}" if part.lot else ""
    attributes = "".join(f", {name}: {value}" for name, value in part.attributes)
    return f"{part.part}{lot}, {'new' if part.new else 'used before'}{attributes}"


def _item_view(kind: str, item: Work, said: str, limits: str, by: str, entry: int | None) -> ItemView:
    return ItemView(kind=kind, key=item.key, name=item.name, said=said, limits=limits, by=by, entry=entry)


def _conceded(judged: Judged) -> str:
    granted = judged.concession
    if granted is None:
        return ""
    return f"conceded by {granted.noted.by} until {granted.expires_on}: {granted.basis}; limit: {granted.limit}"


def _recheck(workshop: "Workshop", job: Job, around: Around) -> RecheckView | None:
    record, left = job.record, job.record.hand_over
    if job.procedure.recheck is None or left is None:
        return None
    newest = queries.newest_odometer(workshop.book, record.vehicle)
    done = record.recheck
    late_days = (around.today - left.due_on).days if left.due_on and not done else 0
    late_m = newest.metres - left.due_distance_m if newest and left.due_distance_m is not None and not done else 0
    return RecheckView(
        due_on=left.due_on,
        due_distance_m=left.due_distance_m,
        done_on=_local(around, done.noted.happened_at).date() if done else None,
        done_by=done.noted.by if done else "",
        late_days=max(late_days, 0),
        late_m=max(late_m, 0),
        looks=tuple(not_looked_at(job.procedure, record)) if not done else (),
    )


def recheck_words(view: RecheckView) -> str:
    """When the re-check is due, in words: "by 2031-04-16 or at 12 100 km, whichever comes first"."""
    parts = [f"by {view.due_on}"] if view.due_on else []
    parts += [f"at {distance_text(view.due_distance_m)}"] if view.due_distance_m is not None else []
    return " or ".join(parts) + (", whichever comes first" if len(parts) > 1 else "")
