"""What a wrench of one kind can have told."""

from torqueaudit.model.job.facts import Outcome
from torqueaudit.model.wrench.classes import INDICATING
from torqueaudit.model.wrench.wrench import Wrench


def why_not_told(wrench: Wrench, outcome: Outcome) -> str:
    """Why a wrench of its kind cannot have told an outcome: "clicks and shows no value"; "" where it can."""
    if wrench.kind == INDICATING:
        return "shows values and does not click" if outcome is Outcome.TURNED_CLICKED else ""
    return "clicks and shows no value" if outcome is Outcome.VALUE_SHOWN else ""
