"""What a run of reminders did, as JSON; no address is in it."""

from typing import TYPE_CHECKING

from torqueaudit.reports.json.values import Object

if TYPE_CHECKING:
    from torqueaudit.workshop.recheck.sending import Run


def reminders_json(run: "Run") -> Object:
    """Each reminder that was sent, was not taken, or is tried again; how many wait, and until when it is quiet."""
    told = [
        {"job": each.job, "vehicle": each.vehicle, "kind": each.kind, "state": each.state.value, "says": each.says}
        for each in run.told
    ]
    return {"told": told, "unread": list(run.unread), "waiting": run.waiting, "quiet_until": run.quiet_until}
