"""What every door shows of a wrench: one frozen picture, with what it was used on and what of that is in doubt."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from torqueaudit.book.places import papers_of
from torqueaudit.model.job.words import most_shown_text
from torqueaudit.model.shown.wrench import (
    CalibrationView,
    DriftView,
    HistoryView,
    IntervalView,
    OverloadView,
    PointView,
    WrenchLine,
    WrenchView,
)
from torqueaudit.model.torque.fitted import adapters_text
from torqueaudit.model.wrench.drift import Drift, drifts_of, interval_of
from torqueaudit.model.wrench.entries import fold_struck
from torqueaudit.model.wrench.point import Point, outside
from torqueaudit.model.wrench.words import (
    change_text,
    cycles_text,
    interval_text,
    outside_text,
    overload_text,
    reach_text,
)
from torqueaudit.model.wrench.wrench import OUT, Calibration, InForce, Wrench
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.wrenches.hours import order_asked
from torqueaudit.workshop.wrenches.in_hand import InHand, take
from torqueaudit.workshop.wrenches.uses import doubtful_uses, unknown_uses, uses_put_right, uses_since_good
from torqueaudit.workshop.wrenches.wrench import require_wrench, wrenches

IN_USE, WITHDRAWN = "in use", "withdrawn"
OVERDUE, NOT_SHOWN = "out of calibration", "not shown to be in calibration"


def show_wrench(workshop: Workshop, number: str) -> WrenchView:
    """A wrench as it stands now. Raises Refused when there is none of that number."""
    wrench, settings = require_wrench(workshop, number), workshop.settings
    taken = take(workshop.book, settings, wrench, workshop.clock())
    calibration = wrench.calibrated_before(workshop.today())
    state, why = _state(taken, workshop.today())
    return WrenchView(
        number=number,
        tag=wrench.tag,
        kind=wrench.kind,
        state=state,
        why=why,
        owner=wrench.owner,
        construction=wrench.construction,
        iso_class=wrench.iso_class,
        permissible_percent=wrench.permissible * 100,
        min_nm=wrench.min_nm,
        max_nm=wrench.max_nm,
        scales=wrench.scales,
        lever_mm=wrench.lever_mm,
        lever_expanded_mm=wrench.lever_expanded_mm,
        lever=wrench.lever_text,
        direction=wrench.direction,
        due_on=wrench.due,
        cycles=taken.cycles,
        cycles_allowed=settings.calibration_cycles,
        calibration=_calibration(workshop, wrench, calibration) if calibration else None,
        history=_history_of(workshop, wrench),
        uses=tuple(uses_since_good(workshop, wrench)),
        doubtful=tuple(doubtful_uses(workshop, wrench)),
        put_right=tuple(uses_put_right(workshop, wrench)),
        not_known=tuple(unknown_uses(workshop, wrench)),
        demo=settings.demo,
        reach=reach_text(wrench),
        direction_stated=wrench.direction_stated,
        order_asked=tuple(order_asked(wrench)),
        overload=_overload(taken),
        drift=tuple(map(_drift, drifts_of(wrench))),
        interval=_interval(wrench, settings.calibration_months),
    )


def list_wrenches(workshop: Workshop) -> list[WrenchLine]:
    """Every wrench by its number, as `show_wrench` would judge it."""
    return [_line(workshop, wrench) for wrench in wrenches(workshop)]


def _line(workshop: Workshop, wrench: Wrench) -> WrenchLine:
    taken = take(workshop.book, workshop.settings, wrench, workshop.clock())
    state, why = _state(taken, workshop.today())
    reach = reach_text(wrench)
    return WrenchLine(
        number=wrench.number,
        tag=wrench.tag,
        kind=wrench.kind,
        state=state,
        why=why,
        reach=reach,
        min_nm=wrench.min_nm,
        max_nm=wrench.max_nm,
        due_on=wrench.due,
        overload=_overload(taken),
    )


def _overload(taken: InHand) -> OverloadView | None:
    over = taken.overload
    if over is None:
        return None
    return OverloadView(
        job=over.job,
        position=over.position,
        on=over.on,
        entry=over.entry,
        shown=most_shown_text(over.done),
        shown_nm=over.done.most_shown_nm,
        says=overload_text(taken.wrench, over),
    )


def _state(taken: InHand, today: date) -> tuple[str, str]:
    """A wrench's state in words, and what it rests on."""
    wrench, in_force = taken.wrench, taken.in_force
    if wrench.withdrawn:
        return WITHDRAWN, wrench.withdrawn
    if in_force.due_on and in_force.due_on < today:
        return OVERDUE, f"its calibration ended on {in_force.due_on}"
    if in_force.why_not:
        return (OVERDUE if in_force.due_on else NOT_SHOWN), in_force.why_not
    return IN_USE, rests_on(in_force)


def rests_on(in_force: InForce) -> str:
    """What the trust in a wrench rests on at a day, in words, or why on nothing."""
    if in_force.why_not:
        return in_force.why_not
    if in_force.calibration is None:
        return f"stated when it was entered to be in calibration until {in_force.due_on}; no figures"
    return f"calibrated on {in_force.calibration.on}, valid until {in_force.due_on}"


def _calibration(workshop: Workshop, wrench: Wrench, done: Calibration) -> CalibrationView:
    paper = str(papers_of(workshop.book.path) / done.paper.name) if done.paper else ""
    return CalibrationView(
        entry=done.entry,
        on=done.on,
        due_on=done.due_on,
        certificate=done.certificate,
        laboratory=done.laboratory,
        decision_rule=done.decision_rule,
        as_found=tuple(_point(wrench, point) for point in done.as_found),
        as_left=tuple(_point(wrench, point) for point in done.as_left),
        adapter=adapters_text(done.adapters),
        paper=paper,
        hour=done.hour,
        direction=wrench.calibrated_to(done),
        reference=done.reference,
        temperature_c=done.temperature_c,
        technician=done.technician,
    )


def _point(wrench: Wrench, point: Point) -> PointView:
    return PointView(
        at=point.at,
        unit=point.unit,
        references=tuple(point.in_own_unit(reference) for reference in point.references_nm),
        shown_nm=point.shown_nm,
        references_nm=point.references_nm,
        deviation_percent=round(point.deviation * 100, 6),
        worst_percent=round(max(point.deviations, key=abs) * 100, 6),
        expanded_percent=_percent(point.without_deviation),
        interval_percent=_percent(point.uncorrected),
        outside=bool(outside((point,), wrench.permissible)),
    )


def _drift(found: Drift) -> DriftView:
    return DriftView(
        at=found.at,
        shown_nm=found.shown_nm,
        left_on=found.left_on,
        found_on=found.found_on,
        moved_percent=round(found.moved * 100, 6),
        expanded_percent=_percent(found.expanded),
        normalised=None if found.normalised is None else round(found.normalised, 6),
    )


def _interval(wrench: Wrench, longest: int) -> IntervalView | None:
    found = interval_of(wrench, longest)
    return IntervalView(found.months, found.proposed, interval_text(found)) if found else None


def _percent(share: Decimal | None) -> Decimal | None:
    return None if share is None else round(share * 100, 6)


def _passed(wrench: Wrench, failed: str, points: tuple[Point, ...]) -> str:
    return f"{OUT} ({outside_text(points, wrench.permissible)})" if failed else ""


def _history_of(workshop: Workshop, wrench: Wrench) -> tuple[HistoryView, ...]:
    """What happened to a wrench, in the order of the days; what was struck stays in its place, and says why."""
    events = list(_history(wrench))
    if wrench.struck:
        strikes = {each.entry: each for each in wrench.struck}
        told = _history(fold_struck(workshop.book.entries(f"wrench/{wrench.number}")))
        for event in (each for each in told if each.entry in strikes):
            strike = strikes[event.entry]
            says = f"STRUCK on {strike.on} by #{strike.by_entry} ({strike.why}): {event.says}"
            events.append(event._replace(says=says))
    return tuple(sorted(events, key=lambda each: (each.on, each.entry)))


def _history(wrench: Wrench) -> Iterator[HistoryView]:
    for done in wrench.calibrations:
        named = " ".join(filter(None, (done.certificate, done.laboratory and f"by {done.laboratory}")))
        says = (
            f"{named or 'no certificate'}; {_passed(wrench, done.failed, done.points) or f'valid until {done.due_on}'}"
        )
        if not done.failed and (found := outside_text(done.as_found, wrench.permissible)):
            says += f"; as found {OUT} ({found}), adjusted"
        says += f"; at {done.hour}" if done.hour else ""
        yield HistoryView(done.entry, done.on, "calibrated", says)
    for seen in wrench.checks:
        known = f" ({seen.certificate})" if seen.certificate else ""
        found = _passed(wrench, seen.failed, seen.points) or "inside its permissible deviation"
        says = f"on {seen.tester}{known}: {found}"
        says += f"; at {seen.hour}" if seen.hour else ""
        yield HistoryView(seen.entry, seen.on, "checked", says)
    for mishap in wrench.mishaps:
        yield HistoryView(mishap.entry, mishap.on, mishap.what, mishap.why)
    for change in wrench.changes:
        yield HistoryView(change.entry, change.on, "put right", change_text(wrench, change))
    for told in wrench.hours:
        yield HistoryView(told.entry, told.on, "hour told", f"#{told.of} was done at {told.hour}")
    for use in wrench.estimates:
        yield HistoryView(use.entry, use.on, "use estimated", f"{cycles_text(use.cycles)} beside the book: {use.why}")
