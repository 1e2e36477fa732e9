"""Is the record itself in order: sources, people, times, strikes, plugins?

tightening of the rear axle nut: recorded 26 hours after it happened.
"""

from collections.abc import Iterator
from datetime import timedelta

from torqueaudit.plugin import Around, Finding, Job, Tightening, Weight, distance_text

# What happens after the release and changes nothing of the work it permits.
AFTER_THE_WORK = ("handed_over.1", "ridden.1", "rechecked.1")


def review_records(job: Job, around: Around) -> Iterator[Finding]:
    """Outside the source's validity, procedure not read, late entries, an odometer run backwards, strikes."""
    yield from _sources(job, around)
    yield from _late(job, around)
    yield from _odometer(job, around)
    yield from _strikes(job)


def _sources(job: Job, around: Around) -> Iterator[Finding]:
    opened = job.record.opened.entry
    if job.record.validity:
        says = f"{around.vehicle.tag}: {job.record.validity} Use a source that holds for this vehicle."
        yield Finding(
            rule="workshop_rules/outside-validity", weight=Weight.STOP, subject="vehicle", says=says, entry=opened
        )
    if not around.read_by:
        says = (
            f"{job.procedure.title}: nobody has read its values against their source. A second person does, before use."
        )
        yield Finding(
            rule="workshop_rules/procedure-not-read", weight=Weight.STOP, subject="procedure", says=says, entry=opened
        )


def _late(job: Job, around: Around) -> Iterator[Finding]:
    limit = timedelta(minutes=around.settings.late_minutes)
    for done in job.record.of(Tightening):
        delay = done.noted.recorded_at - done.noted.happened_at
        if delay > limit:
            fastener = job.procedure.fastener_at(done.position)
            name = fastener.name_of(done.position) if fastener else done.position
            says = f"{name}: recorded {delay.total_seconds() / 3600:.0f} hours after it happened."
            yield Finding(
                rule="workshop_rules/late-entry", weight=Weight.NOTE, subject=name, says=says, entry=done.noted.entry
            )


def _odometer(job: Job, around: Around) -> Iterator[Finding]:
    """One that counts down was misread, or is another one; a re-check by distance would then come too late."""
    for at, metres, entry in job.record.odometers():
        before = [each for each in around.odometers if each.happened_at < at and each.metres > metres]
        if before:
            most = max(before, key=lambda each: each.metres)
            day = most.happened_at.astimezone(around.settings.timezone).date()
            says = (
                f"odometer: {distance_text(metres)} is lower than the {distance_text(most.metres)} of {day}: look "
                "again, or it was changed."
            )
            yield Finding(
                rule="workshop_rules/odometer-lower", weight=Weight.CAUTION, subject="odometer", says=says, entry=entry
            )


def _strikes(job: Job) -> Iterator[Finding]:
    release = job.record.release
    if job.record.withdrawn and job.record.hand_over:
        why = job.record.strikes[-1]
        says = (
            f"job {job.number}: withdrawn after the vehicle left ({why.why}). Look at the vehicle and open a new job."
        )
        yield Finding(
            rule="workshop_rules/withdrawn-on-the-road",
            weight=Weight.STOP,
            subject=f"job {job.number}",
            says=says,
            entry=why.noted.entry,
        )
    for strike in job.record.strikes:
        if release and strike.noted.entry > release.noted.entry and strike.kind not in AFTER_THE_WORK:
            says = (
                f"entry {strike.entry}: struck after release ({strike.why}). Look at the vehicle; then a foreman "
                "strikes the release and releases it anew."
            )
            yield Finding(
                rule="workshop_rules/struck-after-release",
                weight=Weight.STOP,
                subject=f"entry {strike.entry}",
                says=says,
                entry=strike.noted.entry,
            )
