"""What every door shows of a wrench: one frozen picture, with what it was used on and what of that is in doubt."""

from collections.abc import Iterator
from datetime import date, datetime, time, timedelta, tzinfo
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.book import papers, queries
from torqueaudit.book.queries import WrenchUseRow
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.facts import Tightening
from torqueaudit.model.reading import fact_of
from torqueaudit.model.words import torque_text
from torqueaudit.model.wrench import OUT, Calibration, Point, Scale, Wrench, outside, outside_text, percent_text
from torqueaudit.model.wrench_doubt import Doubt, doubt_of, looks_of
from torqueaudit.workshop.taking import Taken, take
from torqueaudit.workshop.workshop import Workshop
from torqueaudit.workshop.wrenches import require_wrench

IN_USE, WITHDRAWN = "in use", "withdrawn"
OVERDUE, NOT_SHOWN = "out of calibration", "not shown to be in calibration"


class PointView(NamedTuple):
    """One calibration point: torques in N·m, the mean deviation a, W and W′ in percent; `outside` its class."""

    shown_nm: Decimal
    references_nm: tuple[Decimal, ...]
    deviation_percent: Decimal
    expanded_percent: Decimal | None
    interval_percent: Decimal | None
    outside: bool


class CalibrationView(NamedTuple):
    """A calibration; `adapter` says what was fitted, `paper` where the certificate's file lies."""

    entry: int
    on: date
    due_on: date
    certificate: str
    laboratory: str
    decision_rule: str
    as_found: tuple[PointView, ...]
    as_left: tuple[PointView, ...]
    adapter: str
    paper: str


class HistoryView(NamedTuple):
    """Something that happened to a wrench, in one sentence."""

    entry: int
    on: date
    what: str
    says: str


class UseView(NamedTuple):
    """One pass of a wrench; `doubt` says what reached the fastener where the wrench was found out since."""

    job: int
    vehicle: str
    position: str
    on: date
    entry: int
    doubt: str = ""
    inside: bool = True


class WrenchView(NamedTuple):
    """A wrench at a glance, as judged today. `why` says what its state rests on; torques in N·m, length in mm."""

    number: str
    tag: str
    kind: str
    state: str
    why: str
    owner: str
    construction: str
    permissible_percent: Decimal
    min_nm: Decimal | None
    max_nm: Decimal | None
    scales: tuple[Scale, ...]
    lever_mm: Decimal | None
    direction: str
    due_on: date | None
    cycles: int
    cycles_allowed: int
    calibration: CalibrationView | None
    history: tuple[HistoryView, ...]
    uses: tuple[UseView, ...]
    doubtful: tuple[UseView, ...]
    demo: bool


def show_wrench(workshop: Workshop, number: str) -> WrenchView:
    """A wrench as it stands now. Raises Refused when there is none of that number."""
    wrench, settings = require_wrench(workshop, number), workshop.settings
    taken = take(
        workshop.book, settings, wrench, workshop.clock() + timedelta(seconds=1)
    )  # what was told this second too
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
        permissible_percent=wrench.permissible * 100,
        min_nm=wrench.min_nm,
        max_nm=wrench.max_nm,
        scales=wrench.scales,
        lever_mm=wrench.lever_mm,
        direction=wrench.direction,
        due_on=wrench.due,
        cycles=taken.cycles,
        cycles_allowed=settings.calibration_cycles,
        calibration=_calibration(workshop, wrench, calibration) if calibration else None,
        history=tuple(sorted(_history(wrench), key=lambda each: (each.on, each.entry))),
        uses=tuple(uses_since_good(workshop, wrench)),
        doubtful=tuple(doubtful_uses(workshop, wrench)),
        demo=settings.demo,
    )


def _state(taken: Taken, today: date) -> tuple[str, str]:
    """A wrench's state in words, and what it rests on."""
    wrench, in_force = taken.wrench, taken.in_force
    if wrench.withdrawn:
        return WITHDRAWN, wrench.withdrawn
    if in_force.due_on and in_force.due_on < today:
        return OVERDUE, f"its calibration ended on {in_force.due_on}"
    if in_force.why_not:
        return (OVERDUE if in_force.due_on else NOT_SHOWN), in_force.why_not
    if in_force.calibration is None:
        return IN_USE, f"stated when it was entered to be in calibration until {in_force.due_on}; no figures"
    return IN_USE, f"calibrated on {in_force.calibration.on}, valid until {in_force.due_on}"


def uses_since_good(workshop: Workshop, wrench: Wrench) -> list[UseView]:
    """What a wrench was used on since it was last known to be good: calibrated, or found in order on a tester."""
    good = [each.on for each in wrench.calibrations if not each.failed]
    good += [each.on for each in wrench.checks if not each.failed]
    rows = queries.wrench_uses(workshop.book, wrench.number, _midnight(workshop, max(good)) if good else "")
    zone = workshop.settings.timezone
    return [_use(zone, row) for row in rows]


def doubtful_uses(workshop: Workshop, wrench: Wrench, entry: int | None = None) -> Iterator[UseView]:
    """What a wrench did before a look that found it outside its permissible deviation, each pass judged again.

    Of every such look, or of the one that stands in the given entry.
    """
    since, zone = "", workshop.settings.timezone
    for look in looks_of(wrench):
        until = _midnight(workshop, look.on + timedelta(days=1))
        wanted = look.out and entry in (None, look.entry)
        for row in queries.wrench_uses(workshop.book, wrench.number, since, until) if wanted else ():
            use = _use(zone, row)
            doubt = _doubt(workshop, wrench, use)
            if doubt and doubt.look.entry == look.entry:
                at = f"{torque_text(doubt.applied_nm)} with {percent_text(doubt.deviation)}"
                yield use._replace(doubt=f"{at}, {'inside' if doubt.inside else 'OUTSIDE'}", inside=doubt.inside)
        since = _midnight(workshop, look.on)


def _doubt(workshop: Workshop, wrench: Wrench, use: UseView) -> Doubt | None:
    entry = workshop.book.entry(use.entry)
    done = fact_of(entry) if entry else None
    return doubt_of(wrench, use.on, done) if isinstance(done, Tightening) else None


def _midnight(workshop: Workshop, day: date) -> str:
    return stamp(datetime.combine(day, time(), workshop.settings.timezone))


def _use(zone: tzinfo, row: WrenchUseRow) -> UseView:
    on = datetime.fromisoformat(row.happened_at).astimezone(zone).date()
    return UseView(row.job, row.vehicle, row.position, on, row.entry)


def _calibration(workshop: Workshop, wrench: Wrench, done: Calibration) -> CalibrationView:
    paper = str(papers.folder_of(workshop.book.path) / done.paper.name) if done.paper else ""
    fitted = done.adapter.attributes if done.adapter else {}
    return CalibrationView(
        done.entry,
        done.on,
        done.due_on,
        done.certificate,
        done.laboratory,
        done.decision_rule,
        tuple(_point(wrench, point) for point in done.as_found),
        tuple(_point(wrench, point) for point in done.as_left),
        f"{fitted['length_mm']} mm at {fitted['angle_deg']}°" if fitted else "",
        paper,
    )


def _point(wrench: Wrench, point: Point) -> PointView:
    return PointView(
        point.shown_nm,
        point.references_nm,
        round(point.deviation * 100, 6),
        _percent(point.corrected),
        _percent(point.uncorrected),
        bool(outside((point,), wrench.permissible)),
    )


def _percent(share: Decimal | None) -> Decimal | None:
    return None if share is None else round(share * 100, 6)


def _passed(wrench: Wrench, failed: str, points: tuple[Point, ...]) -> str:
    return f"{OUT} ({outside_text(points, wrench.permissible)})" if failed else ""


def _history(wrench: Wrench) -> Iterator[HistoryView]:
    for done in wrench.calibrations:
        named = " ".join(filter(None, (done.certificate, done.laboratory and f"by {done.laboratory}")))
        says = (
            f"{named or 'no certificate'}; {_passed(wrench, done.failed, done.points) or f'valid until {done.due_on}'}"
        )
        if not done.failed and (found := outside_text(done.as_found, wrench.permissible)):
            says += f"; as found {OUT} ({found}), adjusted"
        yield HistoryView(done.entry, done.on, "calibrated", says)
    for seen in wrench.checks:
        says = f"on {seen.tester}: {_passed(wrench, seen.failed, seen.points) or 'inside its permissible deviation'}"
        yield HistoryView(seen.entry, seen.on, "checked", says)
    for mishap in wrench.mishaps:
        yield HistoryView(mishap.entry, mishap.on, mishap.what, mishap.why)
    for use in wrench.estimates:
        yield HistoryView(
            use.entry, use.on, "use estimated", f"at least {use.cycles} cycles beside the book: {use.why}"
        )
