"""A pass over a fastener, with what its verdict rests on."""

from datetime import datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.job.facts import AtSlot
from torqueaudit.model.torque.correction import BudgetLine
from torqueaudit.model.torque.drag import Drag, Seat
from torqueaudit.model.torque.verdict import NOT_JUDGED
from torqueaudit.model.torque.words import applied_text, at_seat_text, digits_apart, likely_text, torque_text


class BeyondView(NamedTuple):
    """What followed the torque: the angle, the torque at its end, the slot of a castle nut, the drag of a locking one.

    `at_slot` is the torque at the slot that a castle nut was turned on to. `says` has all of it in words, to follow the
    torque; "" where nothing followed.
    """

    says: str
    angle_deg: Decimal | None
    final_nm: Decimal | None
    drag: Drag | None
    slot: str
    at_slot: AtSlot | None = None


class JudgedView(NamedTuple):
    """How the torque of a pass was judged then; `not_proved` says why its uncertainty is not known."""

    verdict: str
    decision_rule: str
    probability: Decimal | None
    not_proved: str


class LoggedView(NamedTuple):
    """One row of a wrench's log, as it stands in an entry: what it says, and where it was read.

    `shown` has what was between wrench and fastener and the angle as well; `number` is what the wrench called the row.
    """

    entry: int
    when: datetime
    wrench: str
    shown: str
    number: str
    run_by: str
    file: str  # SHA-256 of it
    line: int

    @property
    def whence(self) -> str:
        """Where it was read, in words."""
        number = f", its number {self.number}" if self.number else ""
        return f"line {self.line}{number} of the log {self.file[:12]}, read by {self.run_by}"


class PassView(NamedTuple):
    """One pass as it was told and as it was judged then. Torques in N·m, `expanded_nm` with k = 2.

    `limits` are the lower and the upper one it was held against; a side without one is None.
    """

    entry: int
    final: bool
    by: str
    when: datetime
    outcome: str
    wrench: str
    shown: str
    applied_nm: Decimal | None
    expanded_nm: Decimal | None
    beyond: BeyondView
    judged: JudgedView
    budget: tuple[BudgetLine, ...]
    cycles: int | None
    limits: tuple[Decimal | None, Decimal | None] = (None, None)
    deviation: Decimal | None = None  # of its wrench, as a fraction, where it was corrected for
    corrected_nm: Decimal | None = None  # as is known since its wrench was found out, or put right
    corrected_expanded_nm: Decimal | None = None  # its U
    not_known: bool = False  # since then nobody knows what reached the fastener
    seat: Seat | None = None  # of a self-locking nut: what is left without its drag, which the limits hold for

    @property
    def applied(self) -> str:
        """What reached the fastener, in words: "107.8 N·m + 92°"; "" where that is not known."""
        if self.applied_nm is None:
            return ""
        held_nm = self.seat.nm if self.seat else self.applied_nm
        held = torque_text(held_nm, further=digits_apart(held_nm, *self.limits))
        return f"{self._with_drag(held)}{self.beyond.says}"

    @property
    def reached(self) -> str:
        """The same with its uncertainty: "107.8 N·m ± 5.1 N·m + 92°"."""
        if self.applied_nm is None:
            return ""
        return f"{self._with_drag(self.held)}{self.beyond.says}"

    @property
    def held(self) -> str:
        """What is held against the limits, with its uncertainty: at the seat where a drag was taken off; "" unknown."""
        if self.applied_nm is None:
            return ""
        nm, expanded_nm = (self.seat.nm, self.seat.expanded_nm) if self.seat else (self.applied_nm, self.expanded_nm)
        return applied_text(nm, expanded_nm, *self.limits)

    def _with_drag(self, held: str) -> str:
        drag = self.beyond.drag
        return at_seat_text(self.applied_nm, drag.nm, held) if self.seat and drag and self.applied_nm else held

    @property
    def corrected(self) -> str:
        """What reached it as is known since, with its uncertainty; "" where nothing else is known than then."""
        if self.corrected_nm is None:
            return ""
        corrected = applied_text(self.corrected_nm, self.corrected_expanded_nm, *self.limits)
        return f"{corrected}{' at the seat' if self.seat else ''}"

    @property
    def says(self) -> str:
        """What it did, for whoever did it: "107.8 N·m ± 5.1 N·m + 92° (W-1 at 98 N·m, adapter 50 mm at 0°), in".

        A stage is not judged; of a pass whose torque is not known its outcome is said.
        """
        wrench = " at ".join(filter(None, (self.wrench, self.shown)))
        with_what = f" ({wrench})" if wrench else ""
        if self.applied_nm is None:
            return f"{self.outcome}{with_what}"
        verdict = f", {self.judged.verdict}" if self.final else ""
        return f"{self.reached}{with_what}{verdict}"

    @property
    def proof(self) -> str:
        """How it was judged, in words: "in by simple acceptance, 98.7 % likely inside"; "" where it was not."""
        judged = self.judged
        if judged.verdict == NOT_JUDGED:
            return ""
        likely = f", {likely_text(judged.probability)}" if judged.probability is not None else ""
        why = f": {judged.not_proved}" if judged.not_proved else ""
        return f"{judged.verdict} by {judged.decision_rule}{likely}{why}"
