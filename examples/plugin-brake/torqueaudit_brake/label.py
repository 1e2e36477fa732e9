"""A tag for the reservoir: which fluid is in, since when, and when it is changed next.

A label is given the job as it is shown, so it reads the panel of the fluid that this plugin shows there.
"""

from torqueaudit.plugin import (
    HEAD_LINE,
    JOB,
    JobView,
    LabelContent,
    LabelKind,
    LabelLine,
    Settings,
    grouped,
    record_address,
)
from torqueaudit_brake.panel import OF_FLUID
from torqueaudit_brake.table import NAME


def _tag(job: JobView, settings: Settings) -> LabelContent:
    for stop in job.stops:
        if stop.rule.startswith(f"{NAME}/"):
            raise ValueError(f"job {job.number}: put the brake right first ({stop.says})")
    lines = [LabelLine("Vehicle", job.vehicle_tag, job.vehicle, rank=HEAD_LINE)]
    classes = []
    for panel in job.panels:
        for fluid, changed, following in panel.rows if panel.columns == OF_FLUID else ():
            classes.append(fluid)
            lines += [LabelLine(f"{panel.title} changed", changed), LabelLine("Next change", following)]
    if not all(classes) or len(set(classes)) != 1:
        raise ValueError(f"job {job.number}: there is no brake fluid of one class that it put in and that is still in")
    return LabelContent(
        title="Brake fluid",
        address=record_address(settings, JOB, job.token),
        figure=classes[0],
        token=grouped(job.token),
        lines=tuple(lines),
        demo=job.book.demo,
    )


STOCKS = frozenset({"roll-50x30", "roll-57x32", "roll-62x29", "a4-2x7"})
RESERVOIR = LabelKind("brake", "for the reservoir: which brake fluid is in, and when it is changed next", STOCKS, _tag)
