"""What an act on a job was understood as, said back at once, so that a wrong job or a wrong key is noticed there."""

from typing import NamedTuple

from torqueaudit.model.shown.tightenings import PassLine


class GroupView(NamedTuple):
    """How far a numbered group has come at one stage: how many of its bolts, and which one is next, "" after the last.

    `stage` counts from 1 and `stages` is 1 where the group has none.
    """

    stage: int
    stages: int
    done: int
    size: int
    next: str

    @property
    def says(self) -> str:
        """In words: "4 of 5 done, next: sprocket bolt 2", "all 5 done"."""
        return f"{self.done} of {self.size} done, next: {self.next}" if self.next else f"all {self.size} done"


class AnswerView(NamedTuple):
    """What an act was understood as, in words, and each pass of it as data.

    "sprocket bolt 3 of 5: 50.0 N·m ± 2.0 N·m (W-1 at 50 N·m), in; 3 of 5 done, next: sprocket bolt 4". `stored` is what
    now stands of a step, a measurement or a part, "" after any other act.
    """

    says: str
    stored: str = ""
    passes: tuple[PassLine, ...] = ()
    group: GroupView | None = None
    arrived: bool = False  # the act said as well that the vehicle is here again
