"""What is found by words, and why: each with the words that it is told in."""

from datetime import date
from typing import NamedTuple


class Why(NamedTuple):
    """Why something was found: a field with the passage that was looked for, and the entry that told it.

    `on` is the local day it is about. What is `personal` is told by no entry: 0, and no day.
    """

    field: str
    says: str
    on: date | None = None
    entry: int = 0
    struck: bool = False
    personal: bool = False

    @property
    def told(self) -> str:
        """It in a few words: "reason, 2031-04-02: the nut was stiff"."""
        day = f", {self.on}" if self.on else ""
        struck = ", struck since" if self.struck else ""
        return f"{self.field}{day}{struck}: {self.says}"


class Hit(NamedTuple):
    """Something that was found: its noun ("job", "vehicle", …), its number, what it is called, and why.

    `vehicle` is that of a job; `on` is the newest day of the reasons, None where none has one.
    """

    noun: str
    number: str
    title: str
    vehicle: str
    on: date | None
    whys: tuple[Why, ...]

    @property
    def name(self) -> str:
        """Its number as people say it: "job 7", "V-2"; a procedure is known by its title."""
        if self.noun in ("vehicle", "wrench", "person", "device", "program"):
            return self.number
        return f"job {self.number}" if self.noun == "job" else self.noun


class Found(NamedTuple):
    """What was typed, and what was found by it; `more` where not everything that may be meant is among it."""

    typed: str
    hits: tuple[Hit, ...]
    more: bool

    @property
    def says(self) -> str:
        """That nothing was found, or more than is shown; "" where all is shown."""
        if not self.hits and not self.more:
            return f"Nothing is found by “{self.typed}”. Try fewer words, or a part of one."
        return "There is more than is shown; add a word." if self.more else ""
