"""Every pass over one fastener of a job, with what it was worked out from: the budget of its torque, line by line."""

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.job.facts import Tightening
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.words import asked_text, beyond_text
from torqueaudit.model.judged.around import Around
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.workshop.jobs import fastener_in
from torqueaudit.workshop.showing import shown_text

if TYPE_CHECKING:
    from torqueaudit.workshop.workshop import Workshop


class PassView(NamedTuple):
    """One pass as it was told and as it was judged then. Torques in N·m, `expanded_nm` with k = 2."""

    entry: int
    position: str
    name: str
    stands: bool  # whether it, or the pass that it confirms, is what holds the fastener now
    final: bool
    by: str
    when: datetime
    outcome: str
    wrench: str
    shown: str
    applied_nm: Decimal | None
    expanded_nm: Decimal | None
    beyond: str  # what followed the torque, as `words.beyond_text` says it: angle, torque at its end, slot, drag
    verdict: str
    decision_rule: str
    probability: Decimal | None
    not_proved: str
    budget: tuple[BudgetLine, ...]
    cycles: int | None


class TighteningsView(NamedTuple):
    """The passes over one fastener or group, in the order they happened; struck ones are left out."""

    job: str
    fastener: str
    specified: str
    source: str
    demo: bool
    passes: tuple[PassView, ...]


def show_tightenings(workshop: "Workshop", job: str, key: str) -> TighteningsView:
    """The passes of a fastener, a group or one of its positions. Raises Refused for an unknown job or fastener."""
    told = workshop.job(job)
    fastener, positions = fastener_in(told.procedure, told.record, key)
    around, specification = workshop.around(told), fastener.specification
    source = told.procedure.source(specification.source)
    passes = [each for position in positions for each in _passes(told.record, around, fastener, position)]
    return TighteningsView(
        job,
        fastener.name if key == fastener.key else fastener.name_of(key),
        asked_text(fastener),
        f"{source.document}, {source.edition}, page {specification.page}" if source else "",
        around.settings.demo,
        tuple(sorted(passes, key=lambda each: (each.when, each.entry))),
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
