"""Clamp load: is a specified torque plausible for its bolt, what does it make, and what does the joint lose again?

And what may turning a castle nut on to its slot have added? Works out of a fastener's thread, property class and
condition, and of the table `[x.clamp_load.FASTENER]` of a procedure. A clamp load worked out from a torque is an
estimate and is called so wherever it stands.
"""

from typing import TYPE_CHECKING

from torqueaudit.plugin import hookimpl

if TYPE_CHECKING:
    from torqueaudit.plugin import Around, ExtraSection, Finding, Job, Procedure, ProcedureTable, Remark

# Every command loads this plugin, and few look at a job: the hooks import what they need.


@hookimpl
def procedure_tables() -> "list[ProcedureTable]":
    """The table `[x.clamp_load]`."""
    from torqueaudit.plugin import ProcedureTable
    from torqueaudit_plugins.clamp_load.table.check import look_at_joints
    from torqueaudit_plugins.clamp_load.table.joints import NAME

    return [ProcedureTable(NAME, look_at_joints)]


@hookimpl
def review_procedure(procedure: "Procedure") -> "list[Remark] | None":
    """Whether each specified torque is plausible; silent where no thread or class is stated."""
    if not any(fastener.thread and fastener.property_class for fastener in procedure.fasteners()):
        return None
    from torqueaudit_plugins.clamp_load.rules import review_torques

    return list(review_torques(procedure))


@hookimpl
def review_job(job: "Job", around: "Around") -> "list[Finding] | None":
    """What turning a castle nut on may have added, where the procedure states its joint and nobody read it there."""
    if "clamp_load" not in job.procedure.x:
        return None
    from torqueaudit_plugins.clamp_load.slots import review_slots

    return list(review_slots(job, around))


@hookimpl
def rules_follow_entries() -> bool:
    """No day, clock, file or network changes a finding of these rules."""
    return True


@hookimpl
def record_panels(job: "Job", around: "Around") -> "list[ExtraSection] | None":
    """Why to come back after the first ride, where the procedure states a joint."""
    if "clamp_load" not in job.procedure.x:
        return None
    from torqueaudit_plugins.clamp_load.panels import panel_of

    panel = panel_of(job, around)
    return [panel] if panel else None
