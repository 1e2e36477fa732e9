"""A fastener as it stands, and the passes over it: what was told, and how it was judged then."""

from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.job.facts import Logged, PhotoErased, Photographed, Tightening
from torqueaudit.model.job.record import Current, Job
from torqueaudit.model.job.words import asked_text, beyond_text
from torqueaudit.model.judged.around import Around
from torqueaudit.model.judged.subject import subject_at
from torqueaudit.model.procedure.procedure import Fastener, Procedure
from torqueaudit.model.shown.job import CheckView, FastenerView, MarkView, PhotoView, SpecificationView
from torqueaudit.model.shown.passes import BeyondView, JudgedView, LoggedView, PassView
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.model.torque.fitted import fitted_of, fitted_text
from torqueaudit.model.wrench.doubt import doubt_of


def fastener_view(job: Job, around: Around, fastener: Fastener, position: str, *, later: str) -> FastenerView:
    """One position of a fastener as it stands now; `later` is the job that has done it since, "" where none has."""
    now = job.record.current(position)
    return FastenerView(
        position=position,
        subject=subject_at(fastener, position),
        specification=specification_view(job.procedure, fastener),
        state=now.state.value,
        undone=_undone(around, now),
        overtaken_by=later,
        done=pass_view(now.tightening, fastener, around) if now.tightening else None,
        loosened=now.loosening.noted.entry if now.loosening else None,
        mark=_mark(around, fastener, now),
        check=_check(fastener, now),
        photos=tuple(photo_view(job, around, each, (position,)) for each in job.record.photos(position, fastener.key)),
        logged=tuple(logged_view(each, around) for each in job.record.logged(position)),
    )


def logged_view(row: Logged, around: Around) -> LoggedView:
    """A row of a log, with its time as the workshop's clock showed it."""
    return LoggedView(
        entry=row.noted.entry,
        when=local(around, row.noted.happened_at),
        wrench=row.wrench,
        shown=logged_text(row.shown, map(fitted_of, row.fitted), row.angle, row.final_shown),
        number=row.number,
        run_by=row.run_by,
        file=row.file,
        line=row.line,
    )


def logged_text(shown: str, fitted: Iterable[Fitted], angle: str, final_shown: str) -> str:
    """What a row of a log says was done: "30 N·m, adapter 50 mm at 0°, then 45° to 58 N·m"."""
    turned = f", then {angle}°" if angle else ""
    final = f" to {final_shown}" if final_shown else ""
    return f"{_with_fitted(shown, fitted)}{turned}{final}"


def photo_view(job: Job, around: Around, taken: Photographed, positions: Iterable[str]) -> PhotoView:
    """A photo of the work; it stands while none of these fasteners was turned or loosened since."""
    return PhotoView(
        digest=taken.photo.digest,
        small=taken.photo.small,
        entry=taken.noted.entry,
        by=taken.noted.by,
        when=local(around, taken.noted.happened_at),
        why=taken.why,
        stands=not any(job.record.turned_since(position, taken.noted) for position in positions),
        erased=_erased(around, job.record.erased(taken)),
    )


def _erased(around: Around, gone: PhotoErased | None) -> str:
    return f"erased on {local(around, gone.noted.happened_at).date()} by {gone.noted.by}" if gone else ""


def specification_view(procedure: Procedure, fastener: Fastener) -> SpecificationView:
    """What is specified of a fastener, and where."""
    specification = fastener.specification
    source = procedure.source(specification.source)
    where = f"{source.document}, {source.edition}, page {specification.page}" if source else ""
    return SpecificationView(asked_text(fastener), where)


def pass_view(done: Tightening, fastener: Fastener, around: Around) -> PassView:
    """One pass, with its time as the workshop's clock showed it."""
    corrected = _corrected(done, around)
    return PassView(
        entry=done.noted.entry,
        final=done.final,
        by=done.noted.by,
        when=local(around, done.noted.happened_at),
        outcome=done.outcome.value,
        wrench=done.wrench,
        shown=_shown(done),
        applied_nm=done.applied_nm,
        expanded_nm=done.expanded_nm,
        beyond=_beyond(done, fastener),
        judged=JudgedView(done.verdict, done.rule, done.probability, done.held_not_proved),
        budget=done.budget,
        cycles=done.cycles,
        limits=(done.lower_nm, done.upper_nm),
        deviation=done.deviation,
        corrected_nm=corrected.nm,
        corrected_expanded_nm=corrected.expanded_nm,
        not_known=corrected.not_known,
        seat=done.seat,
    )


class Corrected(NamedTuple):
    """What reached a fastener as is known since, in N·m with its U, and whether nobody knows any more."""

    nm: Decimal | None = None
    expanded_nm: Decimal | None = None
    not_known: bool = False


def _corrected(done: Tightening, around: Around) -> Corrected:
    """What is known since, where the wrench was found out by a later look, or its lever put right."""
    wrench, known = around.wrenches.get(done.wrench), around.as_known(done)
    doubt = doubt_of(wrench, local(around, done.noted.happened_at).date(), known) if wrench else None
    if doubt:
        reached = doubt.applied
        return Corrected(reached.nm, reached.expanded_nm) if reached else Corrected(not_known=True)
    if known is done:
        return Corrected()
    return Corrected(known.held_nm, known.held_expanded_nm, known.held_nm is None)


def local(around: Around, moment: datetime) -> datetime:
    """A moment as the workshop's clock showed it."""
    return moment.astimezone(around.settings.timezone)


def _beyond(done: Tightening, fastener: Fastener) -> BeyondView:
    return BeyondView(
        says=beyond_text(done, fastener.specification),
        angle_deg=done.angle_deg,
        final_nm=done.final_nm,
        drag=done.drag,
        slot=done.slot.value if done.slot else "",
        at_slot=done.at_slot,
    )


def _mark(around: Around, fastener: Fastener, now: Current) -> MarkView:
    seen_on = local(around, now.mark.noted.happened_at) if now.mark else None
    return MarkView(fastener.mark, now.mark_state.value, seen_on)


def _check(fastener: Fastener, now: Current) -> CheckView:
    if now.check is None:
        return CheckView(fastener.check, "", "")
    return CheckView(fastener.check, now.check.noted.by, now.check.method.value)


def _shown(done: Tightening) -> str:
    return _with_fitted(done.shown, map(fitted_of, done.fitted)) if done.shown else ""


def _with_fitted(shown: str, fitted: Iterable[Fitted]) -> str:
    """What the wrench said and what stood between it and the fastener: "66 lbf·ft, adapter 50 mm at 0°"."""
    return ", ".join([shown, *map(fitted_text, fitted)])


def _undone(around: Around, now: Current) -> str:
    event = around.undone(now.position, now.tightening.noted.happened_at) if now.tightening else None
    if event is None:
        return ""
    day = local(around, event.happened_at).date()
    if not event.job:
        return f"undone on {day}, reported"
    return f"{'tightened again' if event.kind == 'tightened' else 'undone'} on {day}, see job {event.job}"
