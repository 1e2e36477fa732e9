"""Is the record itself in order: sources, people, times, strikes, plugins?

tightening of the rear axle nut: recorded 26 hours after it happened.
"""

from collections.abc import Iterator
from datetime import date, timedelta

from torqueaudit.model.around import Around
from torqueaudit.model.facts import Tightening
from torqueaudit.model.finding import Finding, Weight
from torqueaudit.model.job import Job
from torqueaudit.model.words import torque_text

# What happens after the release and changes nothing of the work it permits.
AFTER_THE_WORK = ("handed_over.1", "ridden.1", "rechecked.1")


def review_records(job: Job, around: Around) -> Iterator[Finding]:
    """Outside the source's validity, procedure not read, late entries, strikes after release, wrenches overdue."""
    yield from _sources(job, around)
    yield from _late(job, around)
    yield from _strikes(job)
    yield from _wrenches(job, around)
    yield from _reach(job, around)


def _sources(job: Job, around: Around) -> Iterator[Finding]:
    opened = job.record.opened.entry
    if job.record.validity:
        says = f"{around.vehicle.tag}: {job.record.validity} Use a source that holds for this vehicle."
        yield Finding("outside-validity", Weight.STOP, "vehicle", says, opened)
    if not around.read_by:
        says = (
            f"{job.procedure.title}: nobody has read its values against their source. A second person does, before use."
        )
        yield Finding("procedure-not-read", Weight.STOP, "procedure", says, opened)


def _late(job: Job, around: Around) -> Iterator[Finding]:
    limit = timedelta(minutes=around.settings.late_minutes)
    for done in job.record.of(Tightening):
        delay = done.noted.recorded_at - done.noted.happened_at
        if delay > limit:
            fastener = job.procedure.fastener_at(done.position)
            name = fastener.name_of(done.position) if fastener else done.position
            says = f"{name}: recorded {delay.total_seconds() / 3600:.0f} hours after it happened."
            yield Finding("late-entry", Weight.NOTE, name, says, done.noted.entry)


def _strikes(job: Job) -> Iterator[Finding]:
    release = job.record.release
    if job.record.withdrawn and job.record.hand_over:
        why = job.record.strikes[-1]
        says = (
            f"job {job.number}: withdrawn after the vehicle left ({why.why}). Look at the vehicle and open a new job."
        )
        yield Finding("withdrawn-on-the-road", Weight.STOP, f"job {job.number}", says, why.noted.entry)
    for strike in job.record.strikes:
        if release and strike.noted.entry > release.noted.entry and strike.kind not in AFTER_THE_WORK:
            says = (
                f"entry {strike.entry}: struck after release ({strike.why}). Look at the vehicle; then a foreman "
                "strikes the release and releases it anew."
            )
            yield Finding("struck-after-release", Weight.STOP, f"entry {strike.entry}", says, strike.noted.entry)


def _wrenches(job: Job, around: Around) -> Iterator[Finding]:
    """Of the tightening that stands: one done again with another wrench is answered."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            done = job.record.current(position).tightening
            wrench = around.wrenches.get(done.wrench) if done and done.final else None
            if done and wrench and wrench.withdrawn:
                name = fastener.name_of(position)
                says = (
                    f"{name}: wrench {wrench.number} was withdrawn since ({wrench.withdrawn}). Tighten with another "
                    "one, or have the foreman judge what it did."
                )
                weight = Weight.NOTE if job.record.hand_over else Weight.STOP
                yield Finding("wrench-withdrawn", weight, name, says, done.noted.entry)
            if done and wrench and wrench.due_on and _day(done, around) > wrench.due_on:
                name = fastener.name_of(position)
                says = (
                    f"{name}: wrench {wrench.number} was out of calibration on the day (due {wrench.due_on}). "
                    "Tighten with one that is in."
                )
                yield Finding("wrench-overdue", Weight.STOP, name, says, done.noted.entry)


def _reach(job: Job, around: Around) -> Iterator[Finding]:
    """What is held against the wrench's range is its setting or reading, not the torque behind an adapter."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            done = job.record.current(position).tightening
            wrench = around.wrenches.get(done.wrench) if done and done.final else None
            if (
                done is None
                or wrench is None
                or done.shown_nm is None
                or wrench.min_nm is None
                or wrench.max_nm is None
            ):
                continue
            if not wrench.min_nm <= done.shown_nm <= wrench.max_nm:
                name = fastener.name_of(position)
                reach = f"{torque_text(wrench.min_nm, bare=True)} … {torque_text(wrench.max_nm)}"
                says = (
                    f"{name}: {done.shown} on wrench {wrench.number}, which reaches {reach}. Take one that reaches it."
                )
                yield Finding("wrench-out-of-range", Weight.STOP, name, says, done.noted.entry)


def _day(done: Tightening, around: Around) -> date:
    return done.noted.happened_at.astimezone(around.settings.timezone).date()
