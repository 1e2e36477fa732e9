"""Is every fastener tightened, to what was specified?

front sprocket nut: 84 N·m was applied; 90 … 110 N·m is specified. Loosen it and tighten again.
rear axle nut: read from a log, not confirmed. Whoever tightened it confirms it, or strikes it.
"""

from collections.abc import Iterator
from fractions import Fraction

from torqueaudit.plugin import (
    ActName,
    Around,
    Current,
    Fastener,
    FastenerState,
    Finding,
    Job,
    Loosening,
    Next,
    Outcome,
    Subject,
    Tightening,
    Weight,
    aim_text,
    digits_apart,
    limits_text,
    percent_text,
    subject_at,
    torque_text,
    within,
)
from torqueaudit_plugins.workshop_rules.rules.methods import reached_it, review_method, review_stages, too_much


def review_tightness(job: Job, around: Around) -> Iterator[Finding]:
    """Not tightened, not confirmed, loosened since, not reached, outside, above the maximum, thread not right."""
    for fastener in job.procedure.fasteners():
        if fastener.size > 1 and _untouched(job, fastener):
            about = Subject(f"{fastener.name} 1 to {fastener.size}", key=fastener.key)
            says = f"not tightened. Tighten them to {aim_text(fastener.specification)}."
            yield _to_tighten("workshop_rules/not-tightened", about, says, job.record.opened.entry)
            continue
        for position in fastener.positions:
            yield from _above(job, around, fastener, position)
            yield from _not_confirmed(job, fastener, position)
            now = job.record.current(position)
            yield from _state(job, fastener, now)
            yield from _thread(job, fastener, position)
            yield from review_stages(job, around, fastener, position)
            if now.tightening:
                yield from _pass(around, fastener, now.tightening)
                yield from _told_late(job, fastener, now.tightening)
                yield from _undone(job, around, fastener, now.tightening)


def _untouched(job: Job, fastener: Fastener) -> bool:
    untouched = all(job.record.current(p).state is FastenerState.NOT_TIGHTENED for p in fastener.positions)
    return untouched and not job.record.logged(*fastener.positions)


def _not_confirmed(job: Job, fastener: Fastener, position: str) -> Iterator[Finding]:
    """What a log says is nobody's work: it answers for no fastener, and no permission makes it."""
    logged = job.record.logged(position)
    if logged:
        yield Finding(
            rule="workshop_rules/log-not-confirmed",
            weight=Weight.STOP,
            about=subject_at(fastener, position),
            words="read from a log, not confirmed. Whoever tightened it confirms it, or strikes it.",
            entry=logged[-1].noted.entry,
            concedable=False,
            answer=Next(ActName.CONFIRM_LOGGED, position),
            due=True,
        )


def _state(job: Job, fastener: Fastener, now: Current) -> Iterator[Finding]:
    about, aim = subject_at(fastener, now.position), aim_text(fastener.specification)
    if now.state is FastenerState.LOOSENED and now.loosening:
        says = f"loosened since ({now.loosening.why}). Tighten, mark and check it again."
        yield _to_tighten("workshop_rules/loosened-since", about, says, now.loosening.noted.entry)
    elif now.state is FastenerState.NOT_TIGHTENED and not job.record.logged(now.position):
        # Where a log says more, that has to be confirmed first: nobody is sent to tighten over what is tight.
        yield _to_tighten(
            "workshop_rules/not-tightened", about, f"not tightened. Tighten it to {aim}.", job.record.opened.entry
        )
    elif now.state is FastenerState.STAGE and now.tightening:
        stage = fastener.stages[now.tightening.stage - 1]
        says = f"only stage {now.tightening.stage} ({stage}) is done. Go on to {aim}."
        yield _to_tighten("workshop_rules/not-tightened", about, says, now.tightening.noted.entry)


def _to_tighten(rule: str, about: Subject, says: str, entry: int) -> Finding:
    """A fastener still to be tightened: no permission stands in for that."""
    return Finding(
        rule=rule,
        weight=Weight.STOP,
        about=about,
        words=says,
        entry=entry,
        concedable=False,
        answer=Next(ActName.TIGHTEN, about.key),
        due=True,
    )


def _pass(around: Around, fastener: Fastener, done: Tightening) -> Iterator[Finding]:
    about, entry = subject_at(fastener, done.position), done.noted.entry
    if done.outcome is Outcome.NOT_REACHED:
        says = "did not reach torque. Find out why (thread, part, wrench), then loosen and tighten again."
        yield Finding(
            rule="workshop_rules/did-not-reach-torque",
            weight=Weight.STOP,
            about=about,
            words=says,
            entry=entry,
            concedable=False,
            answer=Next(ActName.LOOSEN, done.position),
        )
    elif done.outcome is Outcome.NO_WRENCH and done.final:
        says = "no torque wrench fits, so nothing shows its torque. Reach it with an adapter, or ask the foreman."
        yield Finding(rule="workshop_rules/no-wrench-fits", weight=Weight.STOP, about=about, words=says, entry=entry)
    elif done.outcome is Outcome.CLICKED_ONLY and done.final:
        says = "clicked without turning, which shows no tightening of this job. Loosen it and tighten again."
        yield Finding(
            rule="workshop_rules/clicked-without-turning",
            weight=Weight.STOP,
            about=about,
            words=says,
            entry=entry,
            answer=Next(ActName.LOOSEN, done.position),
        )
    elif done.final:
        yield from _amount(fastener, around.as_known(done), around.cause_of(done))
        yield from review_method(fastener, around.as_known(done))
        yield from _unusual(about, done)


def _told_late(job: Job, fastener: Fastener, done: Tightening) -> Iterator[Finding]:
    """A loosening told after the tightening, with an earlier time, would else slip behind it unseen."""
    for event in job.record.events(done.position):
        if isinstance(event, Loosening) and event.noted.entry > done.noted.entry:
            about = subject_at(fastener, done.position)
            says = (
                f"a loosening was told after its tightening, as if it came before ({event.why}). Make sure it "
                "is tight: loosen it, tighten, mark and check it again."
            )
            yield Finding(
                rule="workshop_rules/loosening-told-late",
                weight=Weight.STOP,
                about=about,
                words=says,
                entry=event.noted.entry,
                answer=Next(ActName.LOOSEN, done.position),
            )


def _above(job: Job, around: Around, fastener: Fastener, position: str) -> Iterator[Finding]:
    """A joint once stretched too far is not made good by a later, lower pass, nor by undoing it (decision 0006)."""
    for event in job.record.events(position):
        beyond = too_much(fastener, around.as_known(event)) if isinstance(event, Tightening) else ""
        if isinstance(event, Tightening) and beyond:
            about = subject_at(fastener, position)
            says = (
                f"{beyond} is the most that is specified{_corrected(event)}. Never just back off: renew the joint or "
                "clear it from the maker's data, and have the foreman say so."
            )
            yield Finding(
                rule="workshop_rules/above-maximum",
                weight=Weight.STOP,
                about=about,
                words=says,
                entry=around.cause_of(event),
            )


def _thread(job: Job, fastener: Fastener, position: str) -> Iterator[Finding]:
    """Said at any pass since the fastener was last loose: nobody sees the thread again once it is in."""
    bad: Tightening | None = None
    for event in job.record.events(position):
        if isinstance(event, Loosening):
            bad = None
        elif not event.thread_ok:
            bad = event
    if bad:
        about = subject_at(fastener, position)
        says = (
            f"the thread was not as specified ({fastener.condition or 'as the source says'}). Loosen it, clean "
            "or renew the thread, tighten again."
        )
        yield Finding(
            rule="workshop_rules/thread-not-as-specified",
            weight=Weight.STOP,
            about=about,
            words=says,
            entry=bad.noted.entry,
            answer=Next(ActName.LOOSEN, position),
        )


def _amount(fastener: Fastener, done: Tightening, entry: int) -> Iterator[Finding]:
    held_nm = done.held_nm
    if held_nm is None or done.lower_nm is None or held_nm >= done.lower_nm:
        return
    about = subject_at(fastener, done.position)
    drag = " with the drag" if done.drag and done.seat is None and fastener.specification.drag_excluded else ""
    further = digits_apart(held_nm, done.lower_nm)
    limits = f"{limits_text(done.lower_nm, done.upper_nm, further=further)} is specified{drag}"
    held = f"{torque_text(held_nm, further=further)} {reached_it(done)}"
    says = f"{held}; {limits}{_corrected(done)}. Loosen it and tighten again."
    yield Finding(
        rule="workshop_rules/outside-tolerance",
        weight=Weight.STOP,
        about=about,
        words=says,
        entry=entry,
        answer=Next(ActName.LOOSEN, done.position),
    )


def _corrected(done: Tightening) -> str:
    """What explains a torque outside that reads as inside on the wrench, in words that follow; "" where none does."""
    as_shown = None if done.shown_nm is None else Fraction(done.shown_nm) * done.corrected_by
    if as_shown is not None and done.seat and done.drag:
        as_shown -= done.drag.exact
    if not done.deviation or as_shown is None or not within(as_shown, done.lower_nm, done.upper_nm):
        return ""
    return f" (it was {done.shown} on the wrench, which is {percent_text(done.deviation)} off by its calibration)"


def _unusual(about: Subject, done: Tightening) -> Iterator[Finding]:
    for caution in done.cautions:
        says = f"{caution[:1].lower()}{caution[1:]}"
        yield Finding(
            rule="workshop_rules/correction-unusual",
            weight=Weight.CAUTION,
            about=about,
            words=says,
            entry=done.noted.entry,
        )


def _undone(job: Job, around: Around, fastener: Fastener, done: Tightening) -> Iterator[Finding]:
    event = around.undone(done.position, done.noted.happened_at)
    if event is None:
        return
    about = subject_at(fastener, done.position)
    day = event.happened_at.astimezone(around.settings.timezone).date()
    if event.job and event.kind == "tightened":
        says = f"tightened again on {day}, see job {event.job}. What this job says of it is history."
        yield Finding(
            rule="workshop_rules/tightened-by-another-job",
            weight=Weight.NOTE,
            about=about,
            words=says,
            entry=event.entry,
        )
    elif event.job:
        says = f"undone on {day}, see job {event.job}. What this job says of it is history."
        weight = Weight.NOTE if job.record.hand_over else Weight.STOP
        yield Finding(
            rule="workshop_rules/undone-by-another-job",
            weight=weight,
            about=about,
            words=says,
            entry=event.entry,
            concedable=False,
        )
    else:
        says = f"undone on {day}, reported by somebody else. Tighten, mark and check it before anyone rides."
        yield Finding(
            rule="workshop_rules/undone-by-report",
            weight=Weight.STOP,
            about=about,
            words=says,
            entry=event.entry,
            concedable=False,
        )
