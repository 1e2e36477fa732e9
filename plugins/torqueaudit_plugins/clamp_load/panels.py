"""What a job's record tells the owner of why the motorcycle comes back after the first ride."""

from torqueaudit.plugin import Around, ExtraSection, Fastener, FastenerState, Job, MarkState, Outcome
from torqueaudit_plugins.clamp_load.calc.clamp import SCATTER, percent, scatter_n
from torqueaudit_plugins.clamp_load.calc.settling import lost
from torqueaudit_plugins.clamp_load.table.joints import joint_of, settling_of, stated

TITLE = "Why to come back after the first ride"
# Short, for the phone's page has to come in one round trip.
SETTLES = (
    "Joints settle on the first rides: their faces are pressed flat and the bolt slackens by that much; short, stiff "
    "joints lose most. No nut turns meanwhile, so a whole paint mark does not show it. That is why the re-check exists."
)
ESTIMATED = (
    "Estimates from the torque and what the procedure states of the joint, never measured; friction alone makes "
    f"±{percent(SCATTER)}."
)
TURNED = frozenset({Outcome.TURNED_CLICKED, Outcome.VALUE_SHOWN})
COLUMNS = ("fastener", "clamp load, estimated", "expected loss")


def panel_of(job: Job, around: Around) -> ExtraSection | None:
    """One row for each fastener of which the procedure states the joint and which stands tightened.

    None once there is nothing to come back for: no re-check, one that was done, a job withdrawn.
    """
    if job.procedure.recheck is None or job.record.recheck or job.record.withdrawn:
        return None
    rows = tuple(row for fastener in job.procedure.fasteners() if (row := _row(job, around, fastener)))
    return ExtraSection(TITLE, (SETTLES, ESTIMATED), COLUMNS, rows) if rows else None


def _row(job: Job, around: Around, fastener: Fastener) -> tuple[str, str, str] | None:
    torque = _torque_nm(job, around, fastener)
    if torque is None or not stated(job.procedure, fastener.key):
        return None
    name = fastener.name if fastener.size == 1 else f"{fastener.name}, each"
    try:
        clamp = joint_of(job.procedure, fastener).clamp_load_n(torque)
        settling = settling_of(job.procedure, fastener)
    except ValueError as fault:  # entered without this plugin, which would have said so
        return name, f"not known: {fault}", "not known"
    least, most = scatter_n(clamp)
    loss = f"{_kn(settling.loss_n)} kN, {lost(settling.loss_n, clamp)} of it" if settling else "not stated"
    return name, f"about {_kn(clamp)} kN ({_kn(least)} … {_kn(most)})", loss


def _torque_nm(job: Job, around: Around, fastener: Fastener) -> float | None:
    """The least torque among the fastener's positions, None while one of them does not stand tightened."""
    torques = [_applied(job, around, position) for position in fastener.positions]
    return min(torques) if all(torques) else None


def _applied(job: Job, around: Around, position: str) -> float:
    """What a position was tightened with, in N·m; 0 where that is not known or does not stand any more."""
    now = job.record.current(position)
    done = now.tightening
    if done is None or now.state is not FastenerState.TIGHTENED or now.mark_state is MarkState.DISTURBED:
        return 0
    if done.applied_nm is None or done.outcome not in TURNED or around.undone(position, done.noted.happened_at):
        return 0
    return float(done.at_slot.nm if done.at_slot and not done.at_slot.below else done.held_nm or 0)


def _kn(newtons: float) -> str:
    """Kilonewtons to two digits, as no estimate supports more."""
    kilo = newtons / 1000
    return f"{kilo:.0f}" if kilo >= 10 else f"{kilo:.1f}"  # noqa: PLR2004  # two digits
