"""The passes over a fastener, each with what its verdict rests on."""

from datetime import datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.torque.correction import BudgetLine


class PassView(NamedTuple):
    """One pass as it was told and as it was judged then. Torques in N·m, `expanded_nm` with k = 2."""

    entry: int
    position: str
    name: str
    stands: bool  # whether it, or the pass that it confirms, is what holds the fastener now
    final: bool
    by: str
    when: datetime
    outcome: str
    wrench: str
    shown: str
    applied_nm: Decimal | None
    expanded_nm: Decimal | None
    beyond: str  # what followed the torque, as `words.beyond_text` says it: angle, torque at its end, slot, drag
    verdict: str
    decision_rule: str
    probability: Decimal | None
    not_proved: str
    budget: tuple[BudgetLine, ...]
    cycles: int | None


class TighteningsView(NamedTuple):
    """The passes over one fastener or group, in the order they happened; struck ones are left out."""

    job: str
    fastener: str
    specified: str
    source: str
    demo: bool
    passes: tuple[PassView, ...]
