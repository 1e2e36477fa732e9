"""QR labels: for the vehicle, for a wrench, for the owner, and for the look at the marks."""

from typing import TYPE_CHECKING

from torqueaudit.plugin import hookimpl

if TYPE_CHECKING:
    from torqueaudit.plugin import LabelKind


@hookimpl
def label_kinds() -> "list[LabelKind]":
    """Give the job label, the wrench label, the owner's tag and the mark card."""
    from torqueaudit_plugins.qr_labels.kinds import KINDS  # every command loads this plugin, and few print labels

    return list(KINDS)
