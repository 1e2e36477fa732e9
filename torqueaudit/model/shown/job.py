"""What every door shows of a job: one frozen picture, asked once."""

from datetime import date, datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.shown.section import ExtraSection


class FastenerView(NamedTuple):
    """One fastener as it stands. `applied` and `specified` are in words with their unit; `undone` says by which job."""

    position: str
    name: str
    specified: str
    source: str
    state: str
    applied: str
    applied_nm: Decimal | None
    angle_deg: Decimal | None  # turned after the torque
    final_nm: Decimal | None  # at the end of the angle
    drag_nm: Decimal | None  # of a self-locking nut
    slot: str  # of a castle nut
    beyond: str  # all four in words, to follow the torque
    shown: str
    wrench: str
    by: str
    when: datetime | None
    outcome: str
    mark: str
    mark_wanted: bool
    mark_seen_on: datetime | None
    check_wanted: bool
    checked_by: str
    check_method: str
    undone: str
    entry: int | None
    expanded_nm: Decimal | None  # U of the applied torque, k = 2
    verdict: str  # as judged then
    proof: str  # the verdict in words, with what it rests on, "" where nothing was judged
    budget: tuple[str, ...]  # the shares of the uncertainty, each in words


class ItemView(NamedTuple):
    """One step, measurement or part: what it is, what was said of it, and the limits if any."""

    kind: str  # "step", "measurement", "part"
    key: str
    name: str
    said: str
    limits: str
    by: str
    entry: int | None


class FindingView(NamedTuple):
    """A finding, and the concession that covers it today in words."""

    finding: Finding
    concession: str


class RecheckView(NamedTuple):
    """The look after the first ride: when it is due, whether it was done, what is still to look at."""

    due_on: date | None
    due_distance_m: int | None
    done_on: date | None
    done_by: str
    late_days: int  # 0 when not late
    late_m: int  # 0 when not late, as far as an odometer was read
    looks: tuple[str, ...]


class JobView(NamedTuple):
    """A job at a glance."""

    number: str
    site: str
    token: str
    vehicle: str
    vehicle_tag: str
    title: str
    edition: str
    digest: str
    state: str
    demo: bool
    opened_on: date
    opened_by: str
    opened_entry: int
    handed_over_on: date | None
    odometer_m: int | None
    released_by: str
    released_entry: int | None
    hand_over_entry: int | None
    follows: str
    followed_by: tuple[str, ...]
    carried: tuple[str, ...]  # what the job it follows found, to be put right on this one
    put_right: tuple[str, ...]  # of that, what was found before this job was released
    withdrawn: str
    fasteners: tuple[FastenerView, ...]
    items: tuple[ItemView, ...]
    findings: tuple[FindingView, ...]
    next: tuple[str, ...]
    next_commands: tuple[str, ...]  # what to type for each of them, "…" to be filled in; "" where nothing is typed
    recheck_wanted: bool  # by the procedure, known before the vehicle leaves
    recheck: RecheckView | None  # once it left
    strikes: tuple[str, ...]
    panels: tuple[ExtraSection, ...]  # what plugins add
    warnings: tuple[str, ...]
    head: str
    asked_at: datetime

    @property
    def recheck_by(self) -> date | None:
        """The day the re-check is due, while it is."""
        return self.recheck.due_on if self.recheck and self.recheck.done_on is None else None

    @property
    def stops(self) -> tuple[Finding, ...]:
        """The findings that forbid release."""
        return tuple(f.finding for f in self.findings if f.finding.weight.value == "stop" and not f.concession)
