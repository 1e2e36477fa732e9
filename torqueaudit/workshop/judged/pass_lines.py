"""Every pass over one position, as it was told and judged; apart, for a job that is only shown has no need of them."""

from collections.abc import Iterator

from torqueaudit.model.job.facts import Logged, Tightening
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.judged.around import Around
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.shown.tightenings import PassLine
from torqueaudit.workshop.judged.fastener_view import logged_view, pass_view


def pass_lines(record: JobRecord, around: Around, fastener: Fastener, position: str) -> Iterator[PassLine]:
    """Every pass over one position in the order of the work, history included."""
    standing = record.current(position).tightening
    if standing and around.undone(position, standing.noted.happened_at):
        standing = None
    for done in record.events(position):
        if isinstance(done, Tightening):
            stands = standing is not None and done.noted.order >= standing.noted.order
            row = next((each for each in record.of(Logged) if each.noted.entry == done.log), None)
            log = logged_view(row, around) if row else None
            pass_ = pass_view(done, fastener, around)
            yield PassLine(position, fastener.name_of(position), stands=stands, done=pass_, log=log)
