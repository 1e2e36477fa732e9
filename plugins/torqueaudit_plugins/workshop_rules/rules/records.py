"""Is the record itself in order: sources, people, times, strikes, plugins?

tightening of the rear axle nut: recorded 26 hours after it happened.
"""

from collections.abc import Iterator
from datetime import date, datetime

from torqueaudit.plugin import Around, Finding, Job, Subject, Tightening, Weight, holding_of, run_text, subject_at

# What happens after the release and changes nothing of the work it permits.
AFTER_THE_WORK = (
    "handed_over",
    "ridden",
    "rechecked",
    "recheck_postponed",
    "recheck_refused",
    "recheck_referred",
    "recheck_answered",
)


def review_records(job: Job, around: Around) -> Iterator[Finding]:
    """Outside the source's validity, procedure not read, who had left, late entries, odometer backwards, strikes."""
    yield from _sources(job, around)
    yield from _after_leaving(job, around)
    yield from _late(job, around)
    yield from _odometer(job, around)
    yield from _strikes(job)


def _sources(job: Job, around: Around) -> Iterator[Finding]:
    opened = job.record.opened.entry
    yield from _validity(job, around)
    if not around.read_by:
        says = "nobody has read its values against their source. A second person does, before use."
        yield Finding(
            rule="workshop_rules/procedure-not-read",
            weight=Weight.STOP,
            about=Subject("procedure"),
            called=job.procedure.title,
            words=says,
            entry=opened,
        )


def _validity(job: Job, around: Around) -> Iterator[Finding]:
    """Whether the sources hold for the vehicle as it is known today, which may differ from what the opening says."""
    then, today = job.record.validity, holding_of(job.record, around.vehicle)
    since = f"#{today.entry}" if today.entry != job.record.opened.entry else ""
    if today.why_not:
        says = f"{today.why_not} Use a source that holds for this vehicle."
        if since:
            says += f" This is known since {since}; what was tightened by this source before that is in doubt."
        rule, weight = "workshop_rules/outside-validity", Weight.STOP
    elif then:
        says = f"{then} So it was judged when the job was opened; put right in {since}, and the sources hold."
        rule, weight = "workshop_rules/vehicle-put-right", Weight.NOTE
    else:
        return
    yield Finding(
        rule=rule,
        weight=weight,
        about=Subject("vehicle"),
        called=around.vehicle.tag,
        words=says,
        entry=today.entry,
    )


def _after_leaving(job: Job, around: Around) -> Iterator[Finding]:
    """Told of a day on which they no longer worked here: that somebody left may be recorded days later."""
    for number, person in around.people.items():
        own = [fact.noted for fact in job.record.facts if fact.noted.by == number] if person.left else []
        later = [each for each in own if person.left and _day(each.happened_at, around) > person.left.on]
        if person.left and later:
            told = ", ".join(f"#{each.entry}" for each in later)
            says = f"left on {person.left.on}; told under this number of a day after it: {told}. Ask who did it."
            yield Finding(
                rule="workshop_rules/after-leaving",
                weight=Weight.CAUTION,
                about=Subject(number),
                words=says,
                entry=later[0].entry,
            )


def _day(moment: datetime, around: Around) -> date:
    return moment.astimezone(around.settings.timezone).date()


def _late(job: Job, around: Around) -> Iterator[Finding]:
    for done in job.record.of(Tightening):
        if delay := done.noted.late(around.settings.late_minutes):
            fastener = job.procedure.fastener_at(done.position)
            about = subject_at(fastener, done.position) if fastener else Subject(done.position)
            says = f"recorded {delay.total_seconds() / 3600:.0f} hours after it happened."
            yield Finding(
                rule="workshop_rules/late-entry", weight=Weight.NOTE, about=about, words=says, entry=done.noted.entry
            )


def _odometer(job: Job, around: Around) -> Iterator[Finding]:
    """One that counts down was misread, or is another one; a re-check by distance would then come too late."""
    shown = around.vehicle.instrument
    own = {entry for _, _, entry in job.record.odometers()}
    for at, metres, entry, run_m in (each for each in around.odometers if each.entry in own):
        before = [each for each in around.odometers if each.happened_at < at and each.run_m > run_m]
        if before:
            most = max(before, key=lambda each: each.run_m)
            says = (
                f"{run_text(metres, shown)} is lower than the {run_text(most.metres, shown)} of "
                f"{_day(most.happened_at, around)}: look again, or say that it was replaced."
            )
            yield Finding(
                rule="workshop_rules/odometer-lower",
                weight=Weight.CAUTION,
                about=Subject("odometer"),
                words=says,
                entry=entry,
            )


def _strikes(job: Job) -> Iterator[Finding]:
    release = job.record.release
    if job.record.withdrawn and job.record.hand_over:
        why = job.record.strikes[-1]
        says = f"withdrawn after the vehicle left ({why.why}). Look at the vehicle and open a new job."
        yield Finding(
            rule="workshop_rules/withdrawn-on-the-road",
            weight=Weight.STOP,
            about=Subject(f"job {job.number}"),
            words=says,
            entry=why.noted.entry,
        )
    for strike in job.record.strikes:
        # What was told after the release is signed by it neither way.
        signed = release and strike.entry < release.noted.entry < strike.noted.entry
        if signed and strike.what not in AFTER_THE_WORK:
            says = (
                f"struck after release ({strike.why}). Look at the vehicle; then a foreman "
                "strikes the release and releases it anew."
            )
            yield Finding(
                rule="workshop_rules/struck-after-release",
                weight=Weight.STOP,
                about=Subject("entry", strike.entry),
                words=says,
                entry=strike.noted.entry,
            )
