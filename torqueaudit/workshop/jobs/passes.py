"""Every pass over one fastener of a job, with what it was worked out from: the budget of its torque, line by line."""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.words import asked_text, beyond_text
from torqueaudit.model.judged.around import Around
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.shown.passes import PassView, TighteningsView
from torqueaudit.workshop.jobs.job import fastener_in
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.job_view import shown_text

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


def show_tightenings(workshop: "Workshop", job: str, key: str) -> TighteningsView:
    """The passes of a fastener, a group or one of its positions. Raises Refused for an unknown job or fastener."""
    told = workshop.job(job)
    fastener, positions = fastener_in(told.procedure, told.record, key)
    around, specification = around_of(workshop, told), fastener.specification
    source = told.procedure.source(specification.source)
    passes = [each for position in positions for each in _passes(told.record, around, fastener, position)]
    return TighteningsView(
        job=job,
        fastener=fastener.name if key == fastener.key else fastener.name_of(key),
        specified=asked_text(fastener),
        source=f"{source.document}, {source.edition}, page {specification.page}" if source else "",
        demo=around.settings.demo,
        passes=tuple(sorted(passes, key=lambda each: (each.when, each.entry))),
    )


def _passes(record: JobRecord, around: Around, fastener: Fastener, position: str) -> Iterator[PassView]:
    standing = record.current(position).tightening
    if standing and around.undone(position, standing.noted.happened_at):
        standing = None
    for done in record.events(position):
        if isinstance(done, Tightening):
            yield PassView(
                entry=done.noted.entry,
                position=position,
                name=fastener.name_of(position),
                stands=standing is not None and done.noted.order >= standing.noted.order,
                final=done.final,
                by=done.noted.by,
                when=done.noted.happened_at.astimezone(around.settings.timezone),
                outcome=done.outcome.value,
                wrench=done.wrench,
                shown=shown_text(done),
                applied_nm=done.applied_nm,
                expanded_nm=done.expanded_nm,
                beyond=beyond_text(done),
                verdict=done.verdict,
                decision_rule=done.rule,
                probability=done.probability,
                not_proved=done.not_proved,
                budget=done.budget,
                cycles=done.cycles,
            )
