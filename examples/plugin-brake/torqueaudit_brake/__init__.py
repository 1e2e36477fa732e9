"""The brake: what is measured and fitted, which fluid went in, and whether the lever was firm before anybody rode."""

from torqueaudit.plugin import (
    Around,
    ExtraSection,
    Finding,
    Job,
    LabelKind,
    MeasurementKind,
    PartKind,
    ProcedureTable,
    hookimpl,
)
from torqueaudit_brake.kinds import DISC, FLUID, PAD, PADS, WASHER
from torqueaudit_brake.label import RESERVOIR
from torqueaudit_brake.panel import panels
from torqueaudit_brake.rules import review
from torqueaudit_brake.table import NAME, look_at

REQUIRES = 1  # the version of torqueaudit.plugin that this was written for


@hookimpl
def measurement_kinds() -> list[MeasurementKind]:
    """How thick discs and pads are."""
    return [DISC, PAD]


@hookimpl
def part_kinds() -> list[PartKind]:
    """Pads, the washers of a hose, and the fluid."""
    return [PADS, WASHER, FLUID]


@hookimpl
def procedure_tables() -> list[ProcedureTable]:
    """What the source says of this brake."""
    return [ProcedureTable(NAME, look_at)]


@hookimpl
def review_job(job: Job, around: Around) -> list[Finding]:
    """Stops that no permission covers, and a caution for another compound."""
    return list(review(job, around))


@hookimpl
def record_panels(job: Job, around: Around) -> list[ExtraSection]:
    """The fluid that is in, and the discs over the years."""
    return list(panels(job, around))


@hookimpl
def label_kinds() -> list[LabelKind]:
    """A tag for the reservoir."""
    return [RESERVOIR]
