"""What a wrench did, pass by pass: since it was last known to be good, in doubt, or not known any more."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta

from torqueaudit.book import vehicle_queries
from torqueaudit.book.vehicle_queries import WrenchUseRow
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.job.entries import fact_of
from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.shown.wrench import UseView
from torqueaudit.model.torque.specification import within
from torqueaudit.model.torque.words import digits_apart, torque_text
from torqueaudit.model.wrench.doubt import doubt_of, known_of, looks_after, looks_of
from torqueaudit.model.wrench.kind import why_not_told
from torqueaudit.model.wrench.order import last_of, unordered
from torqueaudit.model.wrench.words import percent_text, reach_text
from torqueaudit.model.wrench.wrench import Calibration, Wrench
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.wrenches.anew import as_known_today


def uses_since_good(workshop: Workshop, wrench: Wrench) -> Iterator[UseView]:
    """What it was used on since it was last known to be good: calibrated, or found in order around that setting."""
    last = _last_good(wrench)
    newest = max((look.on for look in looks_of(wrench)), default=date.min)
    for use in _uses(workshop, wrench, last.on if last else None):
        if use.on > newest or not _known_good(workshop, wrench, use, last):
            yield use


def doubtful_uses(workshop: Workshop, wrench: Wrench, entry: int | None = None) -> Iterator[UseView]:
    """What a wrench did before a look that found it outside its permissible deviation, each pass judged again.

    Of every such look, or of the one that stands in the given entry.
    """
    for look in looks_of(wrench):
        wanted = look.out and entry in (None, look.entry)
        for use in _uses(workshop, wrench, _calibrated_before(wrench, look.on), look.on) if wanted else ():
            done = _pass(workshop, use)
            doubt = doubt_of(wrench, use.on, as_known_today(workshop.plugins, wrench, done)) if done else None
            if doubt and doubt.look.entry == look.entry:
                at = f"{torque_text(doubt.applied_nm)} with {percent_text(doubt.deviation)}"
                yield use._replace(doubt=f"{at}, {'inside' if doubt.inside else 'OUTSIDE'}", inside=doubt.inside)


def unknown_uses(workshop: Workshop, wrench: Wrench, entry: int | None = None) -> Iterator[UseView]:
    """What a wrench did before something befell it and a calibration then did not say how it was found.

    Of every such calibration, or of the one that stands in the given entry.
    """
    silent = [each for each in wrench.calibrations if not each.as_found and entry in (None, each.entry)]
    for calibration in silent:
        before = _calibrated_before(wrench, calibration.on)
        for use in _uses(workshop, wrench, before, calibration.on):
            done = _pass(workshop, use)
            known = known_of(wrench, use.on, done.noted, done.shown_nm) if done else None
            if known and known.mishap and known.ended and known.ended.entry == calibration.entry:
                yield use._replace(doubt=f"the wrench {known.mishap}")


def uses_put_right(workshop: Workshop, wrench: Wrench) -> Iterator[UseView]:
    """What a wrench did while it was taken for something else, where that makes a difference, each pass judged anew."""
    last = wrench.changes[-1].entry if wrench.changes else 0
    for use in _uses(workshop, wrench, None) if last else ():
        done = _pass(workshop, use) if use.entry < last else None
        otherwise = list(_otherwise(workshop, wrench, done)) if done else []
        if otherwise:
            says = "; ".join(text for text, _ in otherwise)
            yield use._replace(doubt=says, inside=all(inside for _, inside in otherwise))


def _otherwise(workshop: Workshop, wrench: Wrench, done: Tightening) -> Iterator[tuple[str, bool]]:
    """What of a pass is otherwise than it was taken for, each with whether it is inside what is specified by that."""
    taken, now = wrench.as_taken_at(done.noted.entry), as_known_today(workshop.plugins, wrench, done)
    if now is not done:
        yield _reached(done, now)
    if wrench.reaches(done.shown_nm) is not taken.reaches(done.shown_nm):
        inside = wrench.reaches(done.shown_nm)
        yield f"{done.shown} lies {'inside' if inside else 'OUTSIDE'} its range, {reach_text(wrench)}", inside
    if why_not := why_not_told(wrench, done.outcome):
        yield f"told as “{done.outcome}”, and it {why_not}", True


def _reached(done: Tightening, now: Tightening) -> tuple[str, bool]:
    if now.applied_nm is None or done.applied_nm is None:
        return "nobody can work out what reached it through the adapter", False
    inside = within(now.applied_nm, now.lower_nm, now.upper_nm)
    further = digits_apart(now.applied_nm, done.applied_nm)
    reached, taken = (torque_text(each, further=further) for each in (now.applied_nm, done.applied_nm))
    return f"{reached} reached it, not {taken}, {'inside' if inside else 'OUTSIDE'}", inside


def _known_good(workshop: Workshop, wrench: Wrench, use: UseView, last: Calibration | None) -> bool:
    """Whether the last good calibration was done after a pass, or a check found the wrench in order around it."""
    if last and last.on > use.on:
        return True
    done = _pass(workshop, use)
    after = looks_after(looks_of(wrench), use.on, done.noted) if done else []
    if last and any(look.entry == last.entry for look in after):
        return True
    return done is not None and known_of(wrench, use.on, done.noted, done.shown_nm).good


def _last_good(wrench: Wrench) -> Calibration | None:
    """The newest calibration that left it in order, where no look that found it out may have been done after it."""
    failed = [look for look in looks_of(wrench) if look.failed]
    good = [c for c in wrench.calibrations if not c.failed and not any(unordered(c, look) for look in failed)]
    return last_of(good, Calibration.worse)


def _calibrated_before(wrench: Wrench, on: date) -> date | None:
    """The day of the last calibration before a day: it answered for what came before it, or ended what can be known."""
    return max((each.on for each in wrench.calibrations if each.on < on), default=None)


def _uses(workshop: Workshop, wrench: Wrench, first: date | None, last: date | None = None) -> Iterator[UseView]:
    """The passes from one local day to another, both included; from the first or to the newest where None."""
    since = _midnight(workshop, first) if first else ""
    until = _midnight(workshop, last + timedelta(days=1)) if last else "~"
    zone = workshop.settings.timezone
    for row in vehicle_queries.wrench_uses(workshop.book, wrench.number, since, until):
        yield _use(row, datetime.fromisoformat(row.happened_at).astimezone(zone).date())


def _pass(workshop: Workshop, use: UseView) -> Tightening | None:
    entry = workshop.book.entry(use.entry)
    done = fact_of(entry) if entry else None
    return done if isinstance(done, Tightening) else None


def _midnight(workshop: Workshop, day: date) -> str:
    return stamp(datetime.combine(day, time(), workshop.settings.timezone))


def _use(row: WrenchUseRow, on: date) -> UseView:
    return UseView(job=row.job, vehicle=row.vehicle, position=row.position, on=on, entry=row.entry)
