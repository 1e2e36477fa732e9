"""What the bench question answers: for this fastener, with this wrench and what is fitted, what to set."""

from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.shown.passes import JudgedView
from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.model.torque.drag import Drag, Seat


class StageSetting(NamedTuple):
    """One stage before the last as it is written, what it aims for (None by hand), and the nearest mark.

    `setting` is None where there is nothing to set, or the wrench's scale does not reach it.
    """

    written: str
    aim_nm: Decimal | None
    setting: Decimal | None


class StageAnswer(NamedTuple):
    """What to set a wrench to for one stage before the last; without a `setting` why not, and which others can."""

    wrench: str
    kind: str
    unit: str
    aim_nm: Decimal
    setting: Decimal | None
    why_not: str
    instead: tuple[str, ...]


class ChoiceView(NamedTuple):
    """A setting on the wrench's own scale, what it reaches, and how that would be judged; `expanded_nm` with k = 2.

    `calibrated_with` says what has to be fitted to a wrench that was calibrated so, "" for any other. `at_slot` is the
    highest mark at which a castle nut may stand at its next slot, None of any other and where none shows it. Where the
    `drag` of a self-locking nut comes on top, `seat` is what is left at its seat, and that is what is judged.
    """

    setting: Decimal
    applied_nm: Decimal
    expanded_nm: Decimal | None
    judged: JudgedView
    budget: tuple[BudgetLine, ...]
    calibrated_with: str
    stages: tuple[StageSetting, ...]
    at_slot: Decimal | None = None
    drag: Drag | None = None
    seat: Seat | None = None


class BenchAnswer(NamedTuple):
    """What to set a wrench to; without a `choice` where it cannot be done, for `why_not`.

    `instead` then names other wrenches of the workshop that can, each with its setting; so it does where this one can,
    but was overloaded and nobody has looked at it since. `fitted` is what was understood to be on the wrench: "adapter
    50 mm at 45°".
    """

    job: str
    fastener: str
    specified: str
    derived: str  # the specified torque on the wrench's own scale, "" where the document prints that unit
    wrench: str
    kind: str
    unit: str
    choice: ChoiceView | None
    why_not: str
    instead: tuple[str, ...]
    cautions: tuple[str, ...]
    fitted: tuple[str, ...] = ()
