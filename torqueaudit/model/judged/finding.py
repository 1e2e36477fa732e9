"""What a rule says of a job, or of the procedure it follows."""

from enum import StrEnum
from typing import NamedTuple

from torqueaudit.model.act import See, plainly
from torqueaudit.model.job.noted import FindingKey
from torqueaudit.model.judged.next import Next
from torqueaudit.model.judged.subject import Subject


class Weight(StrEnum):
    """How much a finding matters: a stop forbids release, a caution wants a look, a note only tells."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


class Finding(NamedTuple):
    """What one rule says of one job, as a sentence a mechanic can act on, and what the program has to know of it.

    `words` are the sentence without what it is about. `entry` is the sequence of the ledger entry that caused it; what
    is missing was caused by the job's opening, or by the loosening that made it due again. What is not `concedable` no
    written permission makes right. `answer` is the act that answers it, None where none does. It is `due` where nothing
    that was done is wrong: it is still to be done, here or on a job that follows, or to be waited for; anything else is
    said before whatever would be built on it. A step or a part that has to be told once more is not `due`: it looks
    done, so that nothing but the finding names it.
    """

    rule: str  # "workshop_rules/mark-disturbed": the plugin's name is part of it
    weight: Weight
    about: Subject
    words: str
    entry: int
    concedable: bool = True
    answer: Next | None = None
    due: bool = False
    see: See | None = None  # what the end of its sentence refers to
    called: str | None = None  # what stands before the words in place of the subject, "" where nothing does

    @property
    def subject(self) -> str:
        """What it is about, in words."""
        return self.about.text

    @property
    def sentence(self) -> str:
        """The whole sentence, without what its end refers to, which each door words."""
        before = self.subject if self.called is None else self.called
        return f"{before}: {self.words}" if before else self.words

    @property
    def says(self) -> str:
        """The whole sentence in plain words: "sprocket bolt 3: not marked. Paint a line …"."""
        return plainly(self.sentence, self.see)

    @property
    def key(self) -> FindingKey:
        """What a check, a release or a concession records of this finding."""
        return FindingKey(self.rule, self.subject, self.entry)


class Remark(NamedTuple):
    """What one rule says of a procedure's own values, whatever job follows it; it is about a fastener.

    On a job it becomes a finding that the job's opening caused.
    """

    rule: str
    weight: Weight
    about: Subject
    words: str
    concedable: bool = True

    @property
    def subject(self) -> str:
        """What it is about, in words."""
        return self.about.text

    @property
    def says(self) -> str:
        """The whole sentence, beginning with what it is about."""
        return f"{self.subject}: {self.words}"
