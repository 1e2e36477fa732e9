"""What the nightly report holds: one content, from which every form of it is made. Plain text only, never HTML."""

from datetime import date, datetime
from enum import StrEnum
from typing import NamedTuple

from torqueaudit.model.act import See, plainly
from torqueaudit.model.job.record import Job
from torqueaudit.model.judged.around import Around
from torqueaudit.model.shown.section import ExtraSection
from torqueaudit.model.shown.trends import NONE, Trends
from torqueaudit.model.vehicle.instrument import Hours, Instrument, run_text


class NightJob(NamedTuple):
    """A job of which the night tells, and what was around it at the end of the day."""

    job: Job
    around: Around


class Call(StrEnum):
    """Whom somebody calls about a line."""

    NOBODY = ""
    OWNER = "the owner"
    ELSEWHERE = "the other workshop"


class Line(NamedTuple):
    """One thing to do today: for a job on a vehicle, for a vehicle (`job` ""), or for the workshop itself (both "").

    `holds` is what the job's fasteners hold first ("wheel", "brake", "sprocket", ""). Days, metres
    and minutes are None where nothing is late.
    """

    says: str
    job: str = ""
    vehicle: str = ""
    tag: str = ""
    title: str = ""
    holds: str = ""
    days_late: int | None = None
    metres_late: int | None = None
    see: See | None = None  # what the end of the sentence refers to
    call: Call = Call.NOBODY
    minutes_late: int | None = None  # by an hour meter
    instrument: Instrument = Instrument.KM
    unnamed: str = ""  # the sentence without what somebody told in their own words, where some stands in it

    @property
    def late_far(self) -> str:
        """How late it is by the instrument of its vehicle, in words; "" where it is not."""
        far = Hours(self.minutes_late) if self.minutes_late else self.metres_late
        return run_text(far or None, self.instrument)

    @property
    def in_words(self) -> str:
        """The sentence with what it refers to in plain words."""
        return plainly(self.says, self.see)


class NightSection(NamedTuple):
    """One heading of the report and what stands under it; `key` is the same in every release."""

    key: str
    title: str
    lines: tuple[Line, ...]


class Today(NamedTuple):
    """What is to be decided at one hour of a local day, as a night says it at the end of the day.

    `judged_in_full` is the last day of which everything on the road was judged; what of it may have a stop standing
    without anything being recorded since is known from there. `full_tonight` is whether tonight everything is judged
    anew, as after a change of the rules, so that the night may tell of more.
    """

    judged_in_full: date | None
    full_tonight: bool
    date: date
    site: str
    demo: bool
    sections: tuple[NightSection, ...]
    asked_at: datetime
    unreached: frozenset[str]

    @property
    def without_words(self) -> "Today":
        """The same without what anybody told in their own words, which may name somebody."""
        sections = (
            each._replace(lines=tuple(line._replace(says=line.unnamed or line.says) for line in each.lines))
            for each in self.sections
        )
        return self._replace(sections=tuple(sections))

    @property
    def judged(self) -> str:
        """How far it can be relied on for what is on the road, in words."""
        tonight = " Tonight everything is judged anew, which may find more." if self.full_tonight else ""
        return f"Everything on the road was judged in full for {self.judged_in_full or 'no day yet'}.{tonight}"


class NightSeal(NamedTuple):
    """The checkpoint that a night sealed: the signed note as it is printed, and what it says of itself."""

    note: str
    size: int  # entries of the ledger
    key_id: str
    sealed_at: datetime


class Night(NamedTuple):
    """The nightly report of one local day.

    `exit_code` is 0 when nothing was missed, 1 when something was, 2 when something could not be audited. `head` is
    the chain's head as it is printed, to be held against the book later. `verified_in_full` is the last day whose night
    found the whole book sound, up to the entry `verified_to`. `unreached` are the vehicles whose owner is to be called
    and of whom no number and no address is kept.
    """

    sound: bool  # whether the book verified, the whole of it or what was recorded since it last did
    verified_in_full: date | None
    verified_to: int
    judged_in_full: date | None  # the last day whose night judged everything on the road, this one included
    date: date
    site: str
    demo: bool
    sections: tuple[NightSection, ...]
    head: str
    asked_at: datetime
    exit_code: int
    rules: tuple[str, ...]  # the plugins that gave the rules, with their versions
    unreached: frozenset[str] = frozenset()
    trends: Trends = NONE
    extra: tuple[ExtraSection, ...] = ()
    seal: NightSeal | None = None
