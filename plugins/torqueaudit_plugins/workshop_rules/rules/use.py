"""What the rules of wrenches judge: one use of a wrench, on the fastener that it was done on."""

from datetime import date
from typing import NamedTuple

from torqueaudit.plugin import Fastener, Finding, Next, Tightening, Weight, Wrench, subject_at


class Use(NamedTuple):
    """The tightening that stands on one position, where it is final, and the wrench it was done with."""

    fastener: Fastener
    done: Tightening
    wrench: Wrench
    day: date

    def finding(self, rule: str, weight: Weight, says: str, answer: Next | None = None) -> Finding:
        """What a rule says of this tightening."""
        return Finding(
            rule=rule,
            weight=weight,
            about=subject_at(self.fastener, self.done.position),
            words=says,
            entry=self.done.noted.entry,
            answer=answer,
        )
