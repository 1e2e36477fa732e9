"""What a rule says of a job, or of the procedure it follows."""

from enum import StrEnum
from typing import NamedTuple

from torqueaudit.model.job.facts import FindingKey


class Weight(StrEnum):
    """How much a finding matters: a stop forbids release, a caution wants a look, a note only tells."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


class Finding(NamedTuple):
    """What one rule says of one job, as a sentence a mechanic can act on.

    `entry` is the sequence of the ledger entry that caused it; what is missing was caused by the job's opening, or by
    the loosening that made it due again.
    """

    rule: str
    weight: Weight
    subject: str
    says: str
    entry: int

    @property
    def key(self) -> FindingKey:
        """What a check, a release or a concession records of this finding."""
        return FindingKey(self.rule, self.subject, self.entry)


class Remark(NamedTuple):
    """What one rule says of a procedure's own values, whatever job follows it; `subject` is a fastener's name.

    On a job it becomes a finding that the job's opening caused.
    """

    rule: str
    weight: Weight
    subject: str
    says: str


# No written permission makes these right: the joint is not known to hold, or the brake not known to work.
NEVER_CONCEDED = frozenset(
    {
        "workshop_rules/not-tightened",
        "workshop_rules/loosened-since",
        "workshop_rules/undone-by-another-job",
        "workshop_rules/undone-by-report",
        "workshop_rules/did-not-reach-torque",
        "workshop_rules/mark-disturbed",
        "workshop_rules/locking-part-reused",
        "workshop_rules/brake-not-proved",
        "core/plugin-broken",
    }
)
