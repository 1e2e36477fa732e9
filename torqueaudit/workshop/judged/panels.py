"""What plugins add to a job's record."""

from typing import TYPE_CHECKING

from torqueaudit.model.job.record import Job
from torqueaudit.model.judged.around import Around
from torqueaudit.model.shown.section import ExtraSection

if TYPE_CHECKING:
    from torqueaudit.plugins import Plugins


def panels_of(job: Job, around: Around, plugins: "Plugins") -> tuple[ExtraSection, ...]:
    """What plugins add to a job's record; one that breaks is a panel that says so."""
    panels: list[ExtraSection] = []
    for answer in plugins.panels(job, around):
        panels += answer.given
        if answer.fault:
            says = f"Plugin {answer.plugin}: {answer.says('added to the record')}."
            panels.append(ExtraSection("Not shown", (f"{says} What it would have told is not known; have it mended.",)))
    return tuple(panels)
