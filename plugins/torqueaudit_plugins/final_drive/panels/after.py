"""What the re-check may turn, and what it only looks at: moving a locked fastener breaks what holds it."""

from torqueaudit.plugin import (
    CASTLE_NUT,
    THREADLOCKER,
    TORQUE_AND_ANGLE,
    Around,
    ExtraSection,
    Fastener,
    FastenerState,
    Job,
)


def after_panel(job: Job, around: Around) -> ExtraSection | None:
    """From the release until the re-check is done; nothing of what a later job undid."""
    plan = job.procedure.recheck
    if plan is None or job.record.release is None or job.record.recheck:
        return None
    standing = [fastener for fastener in job.procedure.fasteners() if _stands(job, around, fastener)]
    tried = [each.name for each in standing if each.key in plan.torques and not locked_by(each)]
    locked = [f"{each.name} ({by})" for each in standing if (by := locked_by(each))]
    said = [f"By torque, without slackening: {'; '.join(tried)}."] if tried else []
    said += [f"By the mark alone, never by torque: {'; '.join(locked)}."] if locked else []
    return ExtraSection("What the re-check may turn", (" ".join(said),)) if said else None


def locked_by(fastener: Fastener) -> str:
    """What a later look at the torque would break, "" where nothing would."""
    if fastener.condition == THREADLOCKER:
        return THREADLOCKER
    if fastener.specification.method == TORQUE_AND_ANGLE:
        return "tightened by angle"
    if fastener.locking == CASTLE_NUT or fastener.single_use:
        return ", ".join(key.replace("-", " ") for key in fastener.single_use) or CASTLE_NUT
    return ""


def _stands(job: Job, around: Around, fastener: Fastener) -> bool:
    for position in fastener.positions:
        now = job.record.current(position)
        if now.state is not FastenerState.TIGHTENED or now.tightening is None:
            return False
        if around.undone(position, now.tightening.noted.happened_at):
            return False
    return True
