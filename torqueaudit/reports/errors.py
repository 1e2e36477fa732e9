"""What can go wrong with a report, as one sentence a person can act on."""

from collections.abc import Sequence
from pathlib import Path

from torqueaudit.model.act import Refused


class ReportRefused(Refused):
    """A report was not made, or not all of it; `written` are the files that were, and they are kept."""

    def __init__(self, says: str, written: Sequence[Path] = ()) -> None:
        super().__init__(says)
        self.written = tuple(written)
