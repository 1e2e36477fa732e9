"""Every pass over one fastener of a job, with what it was worked out from: the budget of its torque, line by line."""

from typing import TYPE_CHECKING

from torqueaudit.model.shown.tightenings import TighteningsView
from torqueaudit.workshop.jobs.job import fastener_in
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.fastener_view import specification_view
from torqueaudit.workshop.judged.pass_lines import pass_lines

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


def show_tightenings(workshop: "Workshop", job: str, key: str) -> TighteningsView:
    """The passes of a fastener, a group or one of its positions. Raises Refused for an unknown job or fastener."""
    told = workshop.job(job)
    fastener, positions = fastener_in(told.procedure, told.record, key)
    around = around_of(workshop, told)
    specification = specification_view(told.procedure, fastener)
    passes = [each for position in positions for each in pass_lines(told.record, around, fastener, position)]
    return TighteningsView(
        job=job,
        fastener=fastener.name if key == fastener.key else fastener.name_of(key),
        specified=specification.says,
        source=specification.source,
        demo=around.settings.demo,
        passes=tuple(sorted(passes, key=lambda each: (each.done.when, each.done.entry))),
    )
