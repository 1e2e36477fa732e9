"""What every door shows of a job: one frozen picture, asked once."""

from datetime import date, datetime
from typing import NamedTuple

from torqueaudit.model.act import See, plainly
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.next import Next
from torqueaudit.model.judged.sentences import together
from torqueaudit.model.judged.subject import Subject
from torqueaudit.model.shown.passes import LoggedView, PassView
from torqueaudit.model.shown.recheck import RecheckView
from torqueaudit.model.shown.section import ExtraSection
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run
from torqueaudit.model.vehicle.visits import Presence

# What a release says, to whoever releases and to whoever reads of it.
SIGNATURE = "The listed work was done to the listed sources. Nothing else was looked at."


class SpecificationView(NamedTuple):
    """What is specified of a fastener, in words with its unit, and where that is printed."""

    says: str
    source: str


class MarkView(NamedTuple):
    """A witness mark: whether one is wanted, and what was last seen of it."""

    wanted: bool
    state: str
    seen_on: datetime | None


class CheckView(NamedTuple):
    """The independent check: whether one is wanted, who looked and how; "" where nobody has."""

    wanted: bool
    by: str
    method: str


class PhotoView(NamedTuple):
    """A photo of the work by its digest, as staff see it: `stands` where nothing was turned since it was taken.

    `small` is the digest of the small one of it. Of one that was `erased`, in words by whom and when, nothing is left
    to be shown.
    """

    digest: str
    small: str
    entry: int
    by: str
    when: datetime
    why: str
    stands: bool
    erased: str


class FastenerView(NamedTuple):
    """One fastener as it stands: its pass or none, its mark, its check; `undone` says by which job."""

    position: str
    subject: Subject  # its name, with the number of one bolt of a group apart
    specification: SpecificationView
    state: str
    undone: str
    overtaken_by: str  # the later job that has turned or undone it since, "" where none has
    done: PassView | None
    loosened: int | None  # the entry of its loosening, where that is what came last
    mark: MarkView
    check: CheckView
    photos: tuple[PhotoView, ...] = ()
    logged: tuple[LoggedView, ...] = ()  # what logs say of it and nobody has confirmed

    @property
    def name(self) -> str:
        """Its name in words."""
        return self.subject.text

    @property
    def applied(self) -> str:
        """What its pass applied, in words; "" without a pass."""
        return self.done.applied if self.done else ""

    @property
    def entry(self) -> int | None:
        """The entry that made it stand as it does."""
        return self.done.entry if self.done else self.loosened


class ItemView(NamedTuple):
    """One step, measurement or part: what it is, what was said of it, and the limits if any."""

    kind: str  # "step", "measurement", "part"
    key: str
    name: str
    said: str
    limits: str
    by: str
    entry: int | None
    photos: tuple[PhotoView, ...] = ()


class FindingView(NamedTuple):
    """A finding, and the concession that covers it today in words; `limit` is what that one binds a ride to."""

    finding: Finding
    concession: str
    limit: str = ""


class ToDo(NamedTuple):
    """One thing that comes next, in words, and the act that records it; None where a record is nothing to be said."""

    sentence: str
    answer: Next | None = None
    see: See | None = None  # what the end of the sentence refers to

    @property
    def says(self) -> str:
        """The sentence in plain words."""
        return plainly(self.sentence, self.see)


class BookView(NamedTuple):
    """Which book says so, and when: its site, the head of its ledger, and the moment it was asked.

    The head is "" where whoever asked shows none.
    """

    site: str
    demo: bool
    head: str
    asked_at: datetime


class ProcedureView(NamedTuple):
    """The procedure that a job follows; `only` are the fasteners that it is of alone by key, which the title names."""

    title: str
    edition: str
    digest: str
    only: tuple[str, ...] = ()


class OpeningView(NamedTuple):
    """When and by whom a job was opened, in which entry, and what was read then: metres, or minutes of hours run."""

    on: date
    by: str
    entry: int
    odometer_m: int | None
    run_min: int | None = None

    @property
    def read(self) -> Run | None:
        """What was read."""
        return self.odometer_m if self.run_min is None else Hours(self.run_min)


class ReleaseView(NamedTuple):
    """Who released a job, in which entry."""

    by: str
    entry: int


class HandOverView(NamedTuple):
    """When a vehicle left, in which entry, and what was read then: metres, or minutes of hours run."""

    on: date
    odometer_m: int | None
    entry: int
    run_min: int | None = None

    @property
    def read(self) -> Run | None:
        """What was read."""
        return self.odometer_m if self.run_min is None else Hours(self.run_min)


class FollowedView(NamedTuple):
    """The job that a job follows, and what that one found: `put_right` of it is what this one has released since."""

    job: str
    carried: tuple[str, ...]
    put_right: tuple[str, ...]

    @property
    def open(self) -> tuple[str, ...]:
        """What is still to be put right."""
        return tuple(each for each in self.carried if each not in self.put_right)


class JobView(NamedTuple):
    """A job at a glance."""

    number: str
    token: str
    vehicle: str
    vehicle_tag: str
    procedure: ProcedureView
    book: BookView
    state: str
    withdrawn: str
    opening: OpeningView
    release: ReleaseView | None
    hand_over: HandOverView | None
    presence: Presence  # of the vehicle, now
    unsigned: tuple[Subject, ...]  # what was done and no release signs
    follows: FollowedView | None
    followed_by: tuple[str, ...]
    fasteners: tuple[FastenerView, ...]
    items: tuple[ItemView, ...]
    findings: tuple[FindingView, ...]
    to_do: tuple[ToDo, ...]  # what comes next, in its order
    recheck_wanted: bool  # by the procedure, known before the vehicle leaves
    recheck: RecheckView | None  # once it left
    strikes: tuple[str, ...]
    panels: tuple[ExtraSection, ...]  # what plugins add
    warnings: tuple[str, ...]
    instrument: Instrument = Instrument.KM  # of the vehicle

    @property
    def on_the_road(self) -> bool:
        """Whether the vehicle left and has not come back: whoever rides it is to be reached."""
        return self.hand_over is not None and not self.presence.here

    @property
    def next(self) -> tuple[str, ...]:
        """What comes next, in words."""
        return tuple(each.says for each in self.to_do)

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The findings that forbid release."""
        return tuple(f.finding for f in self.findings if f.finding.weight.value == "stop" and not f.concession)

    @property
    def told_stops(self) -> tuple[str, ...]:
        """The stops as they are told and counted: one sentence where the same is said of several bolts of a group."""
        return tuple(each.says for each in together(self.stops))
