"""The rules of the final drive, one module for each family."""

from collections.abc import Iterator

from torqueaudit.plugin import Around, Finding, Job
from torqueaudit_plugins.final_drive.rules.axle import review_axle
from torqueaudit_plugins.final_drive.rules.gearing import review_gearing
from torqueaudit_plugins.final_drive.rules.link import review_link
from torqueaudit_plugins.final_drive.rules.looks import review_looks
from torqueaudit_plugins.final_drive.rules.set import review_set
from torqueaudit_plugins.final_drive.rules.wear import review_wear
from torqueaudit_plugins.final_drive.table.content import stated_in


def review_drive(job: Job, around: Around) -> Iterator[Finding]:
    """Every finding of every family."""
    stated = stated_in(job.procedure.x)
    for family in (review_set, review_link, review_gearing, review_wear, review_axle, review_looks):
        yield from family(job, around, stated)
