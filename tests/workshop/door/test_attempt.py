"""An act that somebody else is always ahead of."""

import pytest

from torqueaudit.cli.command import refusal
from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.settings import settle

FOREMAN = Say("P-1")


def test_an_act_is_tried_three_times_and_then_says_what_to_do(workshop: Workshop) -> None:
    """Somebody chooses another setting whenever it has read them; in a damaged book nobody may be there."""
    tries: list[int] = []

    def build(attempt: Attempt) -> list[Draft]:
        tries.append(len(attempt.entries("site/YARD")))
        settle(workshop, {"late_minutes": 60 + len(tries)}, FOREMAN)
        return [attempt.draft("site/YARD", "settled.1", {"untouched_days": 9})]

    with pytest.raises(Refused) as refused:
        record(workshop, FOREMAN, ActName.SETTLE, "site/YARD", {"untouched_days": 9}, build)

    assert [0, 1, 2] == [each - tries[0] for each in tries]
    assert (63, 7) == (workshop.settings.late_minutes, workshop.settings.untouched_days)
    assert (
        "Others are writing to the same record just now; nothing was recorded. Try again; if this is said again, run "
        "`torqueaudit ledger verify`, for the book may be damaged."
    ) == refusal(refused.value)
