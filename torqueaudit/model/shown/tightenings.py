"""The passes over one fastener, or over a group, in the order they happened."""

from typing import NamedTuple

from torqueaudit.model.shown.passes import LoggedView, PassView


class PassLine(NamedTuple):
    """A pass in the list of a fastener's: where it was done, and whether it holds the fastener now.

    It does so also where it is confirmed by a later pass that clicked without turning.
    """

    position: str
    name: str
    stands: bool
    done: PassView
    log: LoggedView | None = None  # the row that it confirms


class TighteningsView(NamedTuple):
    """The passes over one fastener or group, in the order they happened; struck ones are left out."""

    job: str
    fastener: str
    specified: str
    source: str
    demo: bool
    passes: tuple[PassLine, ...]
