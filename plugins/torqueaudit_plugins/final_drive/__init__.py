"""The final drive: chain, sprockets, slack and alignment, worked out from what a mechanic counts and measures.

Speaks of jobs whose procedure has a table `[x.final_drive]` or measures one of its kinds; of all others it is silent.
"""

from typing import TYPE_CHECKING

from torqueaudit.plugin import hookimpl

if TYPE_CHECKING:
    from torqueaudit.plugin import (
        Around,
        ExtraSection,
        Finding,
        Job,
        MeasurementKind,
        NightJob,
        PartKind,
        ProcedureTable,
    )

# Every command loads this plugin, and few look at a final drive: the hooks import what they need.


@hookimpl
def measurement_kinds() -> "list[MeasurementKind]":
    """Chain wear, chain slack, wheel alignment, rivet flare and adjuster position."""
    from torqueaudit_plugins.final_drive.kinds.kinds import KINDS

    return list(KINDS)


@hookimpl
def part_kinds() -> "list[PartKind]":
    """Chain, link and sprocket."""
    from torqueaudit_plugins.final_drive.kinds.parts import PART_KINDS

    return list(PART_KINDS)


@hookimpl
def procedure_tables() -> "list[ProcedureTable]":
    """The table `[x.final_drive]`."""
    from torqueaudit.plugin import ProcedureTable
    from torqueaudit_plugins.final_drive.table.check import look_at_drive
    from torqueaudit_plugins.final_drive.table.content import NAME

    return [ProcedureTable(NAME, look_at_drive)]


@hookimpl
def review_job(job: "Job", around: "Around") -> "list[Finding] | None":
    """What does not fit together, where the axle has to go, and what nobody has looked at."""
    if not _is_concerned(job):
        return None
    from torqueaudit_plugins.final_drive.rules.families import review_drive

    return list(review_drive(job, around))


@hookimpl
def rules_follow_entries() -> bool:
    """No day or clock changes what these rules stop."""
    return True


@hookimpl
def record_panels(job: "Job", around: "Around") -> "list[ExtraSection] | None":
    """What to move, how the chain wears, how to look after it, and what the re-check may turn."""
    if not _is_concerned(job):
        return None
    from torqueaudit_plugins.final_drive.panels.record import panels_of

    return panels_of(job, around)


@hookimpl
def report_sections(jobs: "tuple[NightJob, ...]") -> "list[ExtraSection] | None":
    """Which chains will be at their limit before long, among the jobs that the report tells of."""
    if not any(_is_concerned(each.job) for each in jobs):
        return None
    from torqueaudit_plugins.final_drive.panels.night import sections_of

    return sections_of(jobs)


def _is_concerned(job: "Job") -> bool:
    return "final_drive" in job.procedure.x or "final_drive" in job.procedure.needs
