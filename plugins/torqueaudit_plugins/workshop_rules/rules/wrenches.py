"""May the wrench that was used be trusted, then and by what is known of it since?

rear axle nut: 201 N·m on wrench W-1, which reaches 20 … 200 N·m. Take one that reaches it.
This overloads it: put it aside.
"""

from collections.abc import Iterator
from decimal import Decimal

from torqueaudit.plugin import (
    BOTH,
    SETTING,
    ActName,
    Around,
    Fastener,
    Finding,
    Job,
    Known,
    Next,
    See,
    Subject,
    Tightening,
    Topic,
    Weight,
    cycles_text,
    digits_apart,
    doubt_of,
    fitted_of,
    known_of,
    most_shown_text,
    number_told,
    overload_text,
    reach_text,
    same_fitted,
    scale_read,
    subject_at,
    torque_text,
    why_not_told,
)
from torqueaudit_plugins.workshop_rules.rules.found_out import found_out
from torqueaudit_plugins.workshop_rules.rules.use import Use

NEAR_CYCLES = Decimal("0.95")  # of the cycles allowed: from there a calibration is due soon
OFF_MARK = Decimal("0.01")  # of a division
SAME = Decimal("0.005")  # two torques that a scale cannot tell apart, as a share


def review_wrenches(job: Job, around: Around) -> Iterator[Finding]:
    """Of the tightenings that stand: one done again with another wrench is answered."""
    for fastener in job.procedure.fasteners():
        for position in fastener.positions:
            done = job.record.current(position).tightening
            if done is None or not done.final or not done.wrench:
                continue
            wrench = around.wrenches.get(done.wrench)
            if wrench is None:
                yield _unknown(fastener, done)
                continue
            day = done.noted.happened_at.astimezone(around.settings.timezone).date()
            use = Use(fastener, around.as_known(done), wrench, day)
            yield from _trusted(job, around, use)
            yield from _lever(around, use, done)
            yield from _kind(use)
            yield from _cycles(use, around)
            yield from _reach(use)
            yield from _overloaded(around, use)
            yield from _on_scale(use)
            yield from _direction(use)
            yield from _adapter(use)
    if job.record.hand_over is None and not job.record.withdrawn:
        yield from _due_soon(job, around)


def _unknown(fastener: Fastener, done: Tightening) -> Finding:
    about = subject_at(fastener, done.position)
    says = f"nobody knows wrench {done.wrench}. Tighten with one that the book knows."
    return Finding(
        rule="workshop_rules/wrench-unknown", weight=Weight.STOP, about=about, words=says, entry=done.noted.entry
    )


def _trusted(job: Job, around: Around, use: Use) -> Iterator[Finding]:
    """What is known of the wrench when the pass was done, by calendar and by what befell it: one stop says it all."""
    doubt = doubt_of(use.wrench, use.day, use.done, use.fastener.specification)
    known = known_of(use.wrench, use.day, use.done.noted, use.done.shown_nm)
    found = list(found_out(around, use, doubt))
    if doubt is None or doubt.inside:
        found += list(_not_known(job, use, known)) or (list(_withdrawn(job, use)) if known.answer is None else [])
    yield from found
    yield from _in_calibration(use, told=bool(found))


def _withdrawn(job: Job, use: Use) -> Iterator[Finding]:
    """A wrench withdrawn now, where no look since says what the pass was worth."""
    if use.wrench.withdrawn:
        says = (
            f"wrench {use.wrench.number} was withdrawn since ({use.wrench.withdrawn}). Tighten with another "
            "one, or have the foreman judge what it did."
        )
        yield use.finding("workshop_rules/wrench-withdrawn", Weight.NOTE if job.record.hand_over else Weight.STOP, says)


def _not_known(job: Job, use: Use, known: Known) -> Iterator[Finding]:
    """Something befell the wrench, and the calibration after it does not say how it was found."""
    if known.ended is None or not known.mishap:
        return
    there = " at this setting" if known.ended.points else ""
    says = (
        f"wrench {use.wrench.number} {known.mishap}, and its calibration on {known.ended.on} does not say how it was "
        f"found{there}, so nobody knows whether it was in order here. "
    )
    if job.record.hand_over:
        says += "Ask the laboratory for the figures as found, or have the foreman judge what it did."
    else:
        says += "Tighten again with a wrench that is known to be in order, or have the foreman judge what it did."
    yield use.finding(
        "workshop_rules/wrench-not-known-before", Weight.NOTE if job.record.hand_over else Weight.STOP, says
    )


def _in_calibration(use: Use, *, told: bool) -> Iterator[Finding]:
    """By date, as of the day of the work, and by what befell the wrench before it unless that is told already."""
    wrench, in_force = use.wrench, use.wrench.in_force(use.day)
    if in_force.broken:
        if not told:
            says = f"{in_force.why_not} and was not calibrated before this. Tighten with one that is in order."
            yield use.finding("workshop_rules/wrench-not-in-order", Weight.STOP, says)
    elif in_force.why_not and in_force.due_on is None:
        says = f"nothing shows that wrench {wrench.number} is in calibration. Enter its calibration, or take another."
        yield use.finding("workshop_rules/wrench-not-calibrated", Weight.CAUTION, says)
    elif in_force.why_not:
        says = f"{in_force.why_not}. Tighten with one that is in."
        loosen = Next(ActName.LOOSEN, use.done.position)
        yield use.finding("workshop_rules/wrench-overdue", Weight.STOP, says, loosen)


def _cycles(use: Use, around: Around) -> Iterator[Finding]:
    """By use, as counted then: silent where a calibration was told since that the count did not know of."""
    allowed, counted = around.settings.calibration_cycles, use.done.cycles
    calibration = use.wrench.calibrated_before(use.day)
    told_since = calibration is not None and calibration.entry > use.done.noted.entry
    if counted is not None and counted >= allowed and not told_since:
        says = (
            f"wrench {use.wrench.number} had done {cycles_text(counted)} since its calibration; {allowed} are "
            "allowed. Tighten with one that is in."
        )
        yield use.finding("workshop_rules/wrench-worn", Weight.STOP, says)


def _reach(use: Use) -> Iterator[Finding]:
    """What is held against the wrench's range is its setting or reading, not the torque behind an adapter."""
    wrench, most_nm = use.wrench, use.done.most_shown_nm
    if not (wrench.reaches(use.done.shown_nm) and wrench.reaches(most_nm)):
        shown = most_shown_text(use.done) if wrench.reaches(use.done.shown_nm) else use.done.shown
        says = f"{shown} on wrench {wrench.number}, which reaches {reach_text(wrench)}. Take one that reaches it."
        over = wrench.overloaded_by(most_nm)
        if over:
            says += " This overloads it"
        found = use.finding("workshop_rules/wrench-out-of-range", Weight.STOP, says)
        yield found._replace(see=See(Topic.OVERLOADED_WRENCH, wrench.number)) if over else found


def _overloaded(around: Around, use: Use) -> Iterator[Finding]:
    """A pass before this one overloaded the wrench, and nobody knows what it has been worth since."""
    wrench, over = use.wrench, around.overloads.get(use.wrench.number)
    if over is not None and over.precedes(use.done.noted):
        says = f"wrench {wrench.number} {overload_text(wrench, over)}. It is in doubt until it is checked"
        found = use.finding("workshop_rules/wrench-overloaded-before", Weight.CAUTION, says)
        yield found._replace(see=See(Topic.OVERLOADED_WRENCH, wrench.number))


def _lever(around: Around, use: Use, told: Tightening) -> Iterator[Finding]:
    """The lever was put right since, so an adapter corrected otherwise; a torque outside is a stop as ever."""
    if use.done is told:
        return
    since = around.cause_of(told)
    lever, taken = (f"{each.lever_mm:f} mm" for each in (use.wrench, use.wrench.as_taken_at(told.noted.entry)))
    says = f"the lever of wrench {use.wrench.number} is {lever} and was taken as {taken} (put right in #{since})"
    weight = Weight.NOTE
    if use.done.applied_nm is None or told.applied_nm is None:
        says += ", and nobody can work out what reached it through the adapter. Loosen it and tighten again."
        weight = Weight.STOP
    elif doubt_of(use.wrench, use.day, use.done):
        says += "; what reached it is told with what was found out of the wrench."
    else:
        further = digits_apart(use.done.applied_nm, told.applied_nm)
        reached, was = (torque_text(each, further=further) for each in (use.done.applied_nm, told.applied_nm))
        says += f", so {reached} reached it through the adapter, not {was}."
    yield use.finding("workshop_rules/wrench-put-right", weight, says)._replace(entry=since)


def _kind(use: Use) -> Iterator[Finding]:
    """Told of a wrench that was taken for one of the other kind."""
    if why_not := why_not_told(use.wrench, use.done.outcome):
        says = (
            f"told as “{use.done.outcome}”, and wrench {use.wrench.number} {why_not}. Ask what it did; strike it and "
            "tell it again."
        )
        yield use.finding("workshop_rules/outcome-of-other-kind", Weight.CAUTION, says)


def _on_scale(use: Use) -> Iterator[Finding]:
    """A unit that the wrench does not have was converted by somebody; a setting between two marks was not set so."""
    wrench, done = use.wrench, use.done
    told = number_told(done.shown)
    if not wrench.scales or done.shown_nm is None or told is None:
        return
    scale = scale_read(wrench, done.shown, done.shown_nm)
    if scale is None:
        units = " and ".join(each.unit for each in wrench.scales)
        says = (
            f"{done.shown} was told of wrench {wrench.number}, whose scale is in {units}. Strike it and tell what the "
            "scale itself said."
        )
        yield use.finding("workshop_rules/not-on-its-scale", Weight.CAUTION, says)
    elif wrench.kind == SETTING and abs(told / scale.division - round(told / scale.division)) > OFF_MARK:
        says = (
            f"{done.shown} is no mark of wrench {wrench.number}, which has one every {scale.division:f} {scale.unit}. "
            "Look what it was set to; if this was mistyped, strike it and tell it again."
        )
        yield use.finding("workshop_rules/not-on-its-scale", Weight.CAUTION, says)


def _direction(use: Use) -> Iterator[Finding]:
    side, wrench = use.fastener.direction, use.wrench
    if wrench.direction not in (BOTH, side):
        says = (
            f"a {side}-hand thread, and wrench {wrench.number} measures to the {wrench.direction} only. Tighten with "
            f"one that measures to the {side}."
        )
        yield use.finding("workshop_rules/wrench-wrong-direction", Weight.STOP, says)


def _adapter(use: Use) -> Iterator[Finding]:
    """An adapter corrected for although the wrench was calibrated with one fitted, or a correction forgotten."""
    calibration = use.wrench.in_force(use.day).calibration
    own = calibration.adapters if calibration else ()
    fitted = [fitted_of(each) for each in use.done.fitted if own and each["kind"] == own[0].kind]
    if fitted and same_fitted(own, fitted):
        this, it = ("this adapter", "it was") if len(own) == 1 else ("these adapters", "they were")
        says = (
            f"wrench {use.wrench.number} was calibrated with {this} fitted, and {it} corrected for again. Ask "
            "for the setting without the adapter, and tighten again."
        )
        yield use.finding("workshop_rules/adapter-corrected-twice", Weight.STOP, says)
    elif fitted:
        other = "another adapter" if len(own) == 1 else "other adapters"
        this = "this one" if len(fitted) == 1 else "these"
        says = (
            f"wrench {use.wrench.number} was calibrated with {other} fitted, so nothing is known of it with "
            f"{this}. Take another wrench, and tighten again."
        )
        yield use.finding("workshop_rules/adapter-not-calibrated", Weight.STOP, says)
    elif use.fastener.adapter and not use.done.fitted and not own:
        says = (
            "told without an adapter, and the procedure says that a wrench reaches it with one only. Look how it was "
            "reached; if there was one, tighten it again with the setting for it."
        )
        yield use.finding("workshop_rules/adapter-not-told", Weight.CAUTION, says)
    elif _forgotten(use):
        says = (
            f"{use.done.shown} was set with an adapter, as is specified without one, so {_applied(use.done)} reached "
            "it. Was the correction forgotten?"
        )
        found = use.finding("workshop_rules/adapter-not-corrected", Weight.CAUTION, says)
        yield found._replace(see=See(Topic.SETTING))


def _forgotten(use: Use) -> bool:
    done, nominal_nm = use.done, use.fastener.specification.nominal_nm
    if nominal_nm is None or done.shown_nm is None or abs(done.corrected_by - 1) <= SAME:
        return False
    return abs(done.shown_nm - nominal_nm) <= SAME * nominal_nm


def _applied(done: Tightening) -> str:
    return torque_text(done.applied_nm) if done.applied_nm is not None else "another torque"


def _due_soon(job: Job, around: Around) -> Iterator[Finding]:
    """Of every wrench the job has used, while it is still here."""
    allowed = around.settings.calibration_cycles
    used = {done.wrench: done for done in job.record.of(Tightening) if done.wrench in around.wrenches}
    for number, done in sorted(used.items()):
        wrench = around.wrenches[number]
        cycles = around.cycles.get(number, 0)
        if wrench.withdrawn:
            continue
        if wrench.due and around.settings.ends_soon(wrench.due, around.today):
            says = f"its calibration ends on {wrench.due}. Send it to be calibrated in time."
            yield Finding(
                rule="workshop_rules/wrench-due-soon",
                weight=Weight.NOTE,
                about=Subject(f"wrench {number}"),
                words=says,
                entry=done.noted.entry,
            )
        elif NEAR_CYCLES * allowed <= cycles < allowed:
            says = f"at least {cycles} of {allowed} cycles are done. Send it to be calibrated in time."
            yield Finding(
                rule="workshop_rules/wrench-due-soon",
                weight=Weight.NOTE,
                about=Subject(f"wrench {number}"),
                words=says,
                entry=done.noted.entry,
            )
