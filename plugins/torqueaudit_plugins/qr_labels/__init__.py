"""QR labels: for the vehicle, for a wrench, for the owner, for the look at the marks, and for whoever signs in."""

from typing import TYPE_CHECKING

from torqueaudit.plugin import hookimpl

if TYPE_CHECKING:
    from torqueaudit.plugin import LabelContent, LabelFile, LabelKind, LabelStock

# Every command loads this plugin, and few print labels: so each hook imports what it needs.


@hookimpl
def label_kinds() -> "list[LabelKind]":
    """Give the job label, the wrench label, the owner's tag, the mark card, and a person's own tag."""
    from torqueaudit_plugins.qr_labels.kinds import KINDS

    return list(KINDS)


@hookimpl
def label_stocks() -> "list[LabelStock]":
    """Give the sheets and rolls that come with the program."""
    from torqueaudit_plugins.qr_labels.printing.one_file import bundled

    return bundled()


@hookimpl
def label_file(contents: "tuple[LabelContent, ...]", stock: str, ending: str, start: int) -> "LabelFile | None":
    """Make the labels, and read each one back."""
    from torqueaudit_plugins.qr_labels.printing.one_file import made

    return made(contents, stock, ending, start)
