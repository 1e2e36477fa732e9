"""`correct_setting`: a torque that was worked out wrongly is worse than none."""

from collections.abc import Callable
from pathlib import Path

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening, Tighten
from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.torque.correction import Fitted
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import tighten
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.opening import open_workshop

Written = Callable[..., Plugins]


CORRECTION = (
    "from decimal import Decimal\nfrom torqueaudit.model.torque.correction import Correction\n"
    "@hookimpl\ndef correct_setting(use):\n    "
)


@pytest.mark.parametrize(
    ("code", "expected"),
    [
        ("return Correction('adapter', Decimal(1))", "two plugins correct for “adapter”; block one of them"),
        ("raise KeyError('gain')", "plugin other broke while it worked out the torque"),
        ("return Decimal(1)", "plugin other broke while it worked out the torque"),
        ("raise ValueError('a bent adapter is not used')", "a bent adapter is not used"),
    ],
    ids=["twice", "raises", "wrong", "refuses"],
)
def test_a_correction_that_cannot_be_trusted_records_nothing(
    book_file: Path, written: Written, code: str, expected: str
) -> None:
    """A torque that was worked out wrongly is worse than none."""
    plugins = written(other=f"{CORRECTION}{code}\n")
    fitted = (Fitted("adapter", {"length_mm": "50", "angle_deg": "0"}),)
    with open_workshop(book_file, clock=Clock(), plugins=plugins) as workshop:
        open_job(workshop, Opening("V-1", "axle"), Say("P-2"))
        before = workshop.book.head()
        with pytest.raises(Refused, match=expected):
            tighten(
                workshop, "1", "rear-axle-nut", Tighten(Outcome.TURNED_CLICKED, "W-1", "98 N·m", fitted), Say("P-2")
            )

        assert before == workshop.book.head()


def test_what_is_fitted_and_unknown_to_every_plugin_records_nothing(workshop: Workshop) -> None:
    """Or the torque would silently stand uncorrected."""
    open_job(workshop, Opening("V-1", "axle"), Say("P-2"))
    fitted = (Fitted("multiplier", {"gain": "4"}),)
    with pytest.raises(Refused, match="no plugin knows how to correct for multiplier; nothing was recorded"):
        tighten(workshop, "1", "rear-axle-nut", Tighten(Outcome.TURNED_CLICKED, "W-1", "27 N·m", fitted), Say("P-2"))
