"""What a wrench did, pass by pass: since it was last known to be good, in doubt, or not known any more."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal

from torqueaudit.book import vehicle_queries
from torqueaudit.book.vehicle_queries import WrenchUseRow
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.job.entries import fact_of
from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.register.settings import begin_of
from torqueaudit.model.shown.wrench import UseView
from torqueaudit.model.torque.specification import Specification, within
from torqueaudit.model.torque.verdict import IN, IN_NOT_PROVED
from torqueaudit.model.torque.words import applied_text, digits_apart, torque_text
from torqueaudit.model.wrench.doubt import (
    Doubt,
    doubt_of,
    known_of,
    looks_after,
    settled_before,
    settles,
)
from torqueaudit.model.wrench.kind import why_not_told
from torqueaudit.model.wrench.look import Look
from torqueaudit.model.wrench.order import last_of, unordered
from torqueaudit.model.wrench.uncertainty import Applied
from torqueaudit.model.wrench.words import percent_text, reach_text
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.wrenches.anew import as_known_today


def uses_since_good(workshop: Workshop, wrench: Wrench) -> Iterator[UseView]:
    """What it was used on since it was last known to be good: calibrated, or found in order around that setting."""
    last = _last_good(wrench)
    newest = max((look.on for look in wrench.looks), default=date.min)
    for use in _uses(workshop, wrench, last.on if last else None):
        if use.on > newest or not _known_good(workshop, wrench, use, last):
            yield use


def together(uses: Iterable[UseView], *, doubts: bool = True) -> list[tuple[UseView, tuple[str, ...]]]:
    """Passes of one job and day, and of one doubt where these are told, as the first of them with all positions."""
    found: dict[tuple[object, ...], tuple[UseView, dict[str, None]]] = {}
    for use in uses:
        key = (use.on, use.job, use.doubt if doubts else "")
        found.setdefault(key, (use, {}))[1][use.position] = None
    return [(use, tuple(positions)) for use, positions in found.values()]


def doubtful_uses(workshop: Workshop, wrench: Wrench, entry: int | None = None) -> Iterator[UseView]:
    """What a wrench did before a look that found it outside its permissible deviation, each pass judged again.

    Of every such look, or of the one that stands in the given entry.
    """
    for look in wrench.looks:
        wanted = look.out and entry in (None, look.entry)
        for use in _uses(workshop, wrench, settled_before(wrench, look.on), look.on) if wanted else ():
            done = _pass(workshop, use)
            known = as_known_today(workshop.plugins, wrench, done) if done else None
            specification = _specified(workshop, use, known) if known else None
            doubt = doubt_of(wrench, use.on, known, specification) if known else None
            if known and doubt and doubt.look.entry == look.entry:
                yield _judged_again(use, known, doubt, specification)


def unknown_uses(workshop: Workshop, wrench: Wrench, entry: int | None = None) -> Iterator[UseView]:
    """What a wrench did before something befell it and a calibration then did not say how it was found there.

    Of every such calibration, or of the one that stands in the given entry. What it did beside a look that found it out
    is in doubt, and told there.
    """
    for look in (each for each in wrench.looks if each.ends and entry in (None, each.entry)):
        for use in _uses(workshop, wrench, settled_before(wrench, look.on), look.on):
            done = _pass(workshop, use)
            known = known_of(wrench, use.on, done.noted, done.shown_nm) if done else None
            if known and known.mishap and not known.hint and known.ended and known.ended.entry == look.entry:
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
    if now.held_nm is None or now.applied_nm is None or done.applied_nm is None:
        return "nobody can work out what reached it through the adapter", False
    inside = within(now.held_nm, now.lower_nm, now.upper_nm)
    further = digits_apart(now.applied_nm, done.applied_nm)
    reached, taken = (torque_text(each, further=further) for each in (now.applied_nm, done.applied_nm))
    return f"{reached} reached it, not {taken}, {'inside' if inside else 'OUTSIDE'}", inside


def _known_good(workshop: Workshop, wrench: Wrench, use: UseView, last: Look | None) -> bool:
    """Whether the last good look was done after a pass, or one before it found the wrench in order around it."""
    if last and last.on > use.on:
        return True
    done = _pass(workshop, use)
    after = looks_after(wrench.looks, use.on, done.noted) if done else []
    if last and any(look.entry == last.entry for look in after):
        return True
    return done is not None and known_of(wrench, use.on, done.noted, done.shown_nm).good


def _last_good(wrench: Wrench) -> Look | None:
    """The newest look that left it in order and left open nothing of before, where none that failed may be later."""
    looks = wrench.looks
    failed = [look for look in looks if look.failed]
    good = [
        look
        for look in looks
        if not look.failed and settles(wrench, look) and not any(unordered(look, each) for each in failed)
    ]
    return last_of(good, lambda each: each.worse(None))


def _specified(workshop: Workshop, use: UseView, done: Tightening) -> Specification | None:
    """What a pass is judged by beyond the limits that its own entry holds: what may be read at the end of an angle."""
    if done.final_nm is None:
        return None
    fastener = workshop.job(str(use.job)).procedure.fastener_at(use.position)
    return fastener.specification if fastener else None


def _judged_again(use: UseView, done: Tightening, doubt: Doubt, specification: Specification | None) -> UseView:
    applied, at_end = doubt.applied, doubt.at_end
    after = (at_end or done.final_shown_nm is None) and (doubt.at_slot or done.at_slot is None)
    return use._replace(
        doubt=_doubt_text(done, doubt, specification),
        inside=doubt.inside,
        known=applied is not None and bool(after),
        verdict=doubt.verdict,
        applied_nm=applied.nm if applied else None,
        expanded_nm=applied.expanded_nm if applied else None,
        final_nm=at_end.nm if at_end else None,
        final_expanded_nm=at_end.expanded_nm if at_end else None,
    )


def _doubt_text(done: Tightening, doubt: Doubt, specification: Specification | None) -> str:
    """What reached it now: "104.2 N·m ± 1.1 N·m, then 61.0 N·m ± 1.4 N·m with +5.3 %, inside"."""
    found = percent_text(doubt.deviation)
    if doubt.applied is None:
        return f"NOT KNOWN what reached it, {found} at {doubt.nearest.at}" if doubt.nearest else "NOT KNOWN"
    reached = applied_text(doubt.applied.nm, doubt.applied.expanded_nm, done.lower_nm, done.upper_nm)
    reached += " at the seat" if done.seat else ""
    ends = (specification.final_lower_nm, specification.final_upper_nm) if specification else ()
    if done.final_shown_nm is not None:
        reached += f", then {_after_text(doubt.at_end, *ends)}"
    if done.at_slot:
        most = "at most " if done.at_slot.below and doubt.at_slot else ""
        reached += f", then {most}{_after_text(doubt.at_slot, done.upper_nm)} at the slot"
    says = {IN: "inside", IN_NOT_PROVED: "inside, not proved"}.get(doubt.verdict, "OUTSIDE")
    return f"{reached} with {found}, {says}"


def _after_text(reached: Applied | None, *limits: Decimal | None) -> str:
    return applied_text(reached.nm, reached.expanded_nm, *limits) if reached else "NOT KNOWN what"


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
    return stamp(begin_of(day, workshop.settings.timezone))


def _use(row: WrenchUseRow, on: date) -> UseView:
    return UseView(job=row.job, vehicle=row.vehicle, position=row.position, on=on, entry=row.entry)
