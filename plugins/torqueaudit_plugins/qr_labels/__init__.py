"""QR labels: a tag for the vehicle that opens the job's record."""

from typing import TYPE_CHECKING

from torqueaudit.hooks import hookimpl

if TYPE_CHECKING:
    from torqueaudit.model.label import LabelContent, LabelKind
    from torqueaudit.workshop.views import JobView


@hookimpl
def label_kinds() -> "list[LabelKind]":
    """Give the job label; it fits every stock."""
    from torqueaudit.model.label import LabelKind  # every command loads this plugin, and few print labels

    return [LabelKind("job", frozenset(), job_label)]


def job_label(job: "JobView", base_address: str) -> "LabelContent":
    """Say what the label of a job says; the address ends in the job's token.

    The re-check counts from the hand-over: before it there is no date yet, and the label leaves a line to write on.
    """
    from torqueaudit.model.label import LabelContent
    from torqueaudit.model.token import grouped

    return LabelContent(
        address=f"{base_address.rstrip('/')}/r/{job.token}",
        figure=job.number,
        token=grouped(job.token),
        lines=(
            ("Vehicle", job.vehicle_tag),
            ("Re-check by", job.recheck_by.isoformat() if job.recheck_by else ""),
            ("Opened", job.opened_on.isoformat()),
        ),
        demo=job.demo,
    )
