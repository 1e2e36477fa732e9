"""The life of a motorcycle: its visits and jobs on one line of time, and what stands on it now."""

from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal
from typing import NamedTuple

from torqueaudit.model.judged.finding import Weight
from torqueaudit.model.judged.sentences import names_together
from torqueaudit.model.judged.subject import Subject
from torqueaudit.model.shown.course import Happening
from torqueaudit.model.shown.fastener_lines import FastenerLine, fastener_lines
from torqueaudit.model.shown.job import FindingView
from torqueaudit.model.shown.section import Chart
from torqueaudit.model.shown.vehicle import PresentFastener, VehicleView


class Stretch(NamedTuple):
    """Some time in which a vehicle was here, or away, and what was told of it, in the order of the work.

    `since` is None where nothing says when it began, `until` where it goes on. What was read first and last is in
    words, and so is what it `ran`; "" where nothing tells.
    """

    here: bool
    gone: bool
    since: datetime | None
    until: datetime | None
    read_first: str
    read_last: str
    ran: str
    course: tuple[Happening, ...]

    @property
    def title(self) -> str:
        """Where it was, and from when to when: "In the workshop, 2031-04-02 to 2031-04-03"."""
        if self.since is None:
            return "Before its first visit"
        where = "In the workshop" if self.here else "Gone for good" if self.gone else "On the road"
        first, last = (f"{at:%Y-%m-%d}" if at else "" for at in (self.since, self.until))
        if not last:
            return f"{where} since {first}"
        return f"{where}, {first}" if first == last else f"{where}, {first} to {last}"

    @property
    def run(self) -> str:
        """What was read and what it ran, in words; "" where nothing tells."""
        read = self.read_first if self.read_first == self.read_last else f"{self.read_first} to {self.read_last}"
        return ", ".join(filter(None, (read, f"ran {self.ran}" if self.ran else "")))

    @property
    def jobs(self) -> tuple[str, ...]:
        """The jobs of which anything was told in it, in their order."""
        return tuple(sorted({each.job for each in self.course if each.job}, key=int))


class FastenerNow(NamedTuple):
    """One fastener as every page of its vehicle says it stands now, where that is specified, and what is open on it."""

    present: PresentFastener
    line: FastenerLine
    source: str
    open: tuple[str, ...]


class ValueTaken(NamedTuple):
    """One measured value as it was told and judged then; `limits` are those of its job, `at` what was read then."""

    job: str
    entry: int
    by: str
    when: datetime
    value: Decimal
    says: str
    limits: str
    verdict: str
    at: str
    late: str

    @property
    def figure(self) -> str:
        """The value with its uncertainty: "25 mm", "0.44 % ± 0.1 %"."""
        return self.says.partition(" (")[0]

    @property
    def rests_on(self) -> str:
        """The readings that it was worked out of: "pins 19, length 287 mm"; "" where it was read itself."""
        return self.says.partition(" (")[2].removesuffix(")")


class Series(NamedTuple):
    """What was measured under one key in one unit, the oldest first; a chart where there are several values."""

    key: str
    name: str
    unit: str
    taken: tuple[ValueTaken, ...]
    chart: Chart | None


class PartOn(NamedTuple):
    """A part that was fitted: since when, by which job, how far it has run, and the job that replaced it, "" while on.

    `ran` is "" where nothing tells how far.
    """

    key: str
    name: str
    part: str
    lot: str
    new: bool
    attributes: tuple[tuple[str, str], ...]
    job: str
    entry: int
    since: datetime
    at: str
    until: datetime | None
    replaced_by: str
    ran: str


class LifeView(NamedTuple):
    """The life of one motorcycle. `entry` is the record's last one that it was told from, None as the head is "".

    Whoever shows no head asks for none, so that an act on any other motorcycle changes nothing of this.
    """

    vehicle: VehicleView
    entry: int | None
    stretches: tuple[Stretch, ...]
    series: tuple[Series, ...]
    parts: tuple[PartOn, ...]

    @property
    def fasteners(self) -> tuple[FastenerNow, ...]:
        """Each fastener once, as it stands now."""
        present, lines = self.vehicle.fasteners, fastener_lines(self.vehicle)
        return tuple(
            FastenerNow(each, line, each.fastener.specification.source, tuple(open_on(self.vehicle, each)))
            for each, line in zip(present, lines, strict=True)
        )


def alike(fasteners: Iterable[FastenerNow]) -> tuple[FastenerNow, ...]:
    """Those of a group of which the same is to be said as one, under their names together, in their order."""
    groups: dict[tuple[object, ...], list[FastenerNow]] = {}
    for each in fasteners:
        same = (
            each.present.job,
            each.present.fastener.subject.name,
            each.line._replace(name=""),
            each.source,
            each.open,
        )
        groups.setdefault(same, []).append(each)
    return tuple(_as_one(group) for group in groups.values())


def _as_one(group: list[FastenerNow]) -> FastenerNow:
    name = names_together(each.present.fastener.subject for each in group)
    return group[0]._replace(line=group[0].line._replace(name=name))


def open_on(vehicle: VehicleView, present: PresentFastener) -> Iterable[str]:
    """What is open on a fastener, in sentences: each stop and caution on it, and each permission.

    Whether somebody signed it stands with its job.
    """
    for work in vehicle.works:
        for found in work.findings:
            if found.finding.weight is not Weight.NOTE and _is_about(found.finding.about, present):
                yield _open(found, "" if work.number == present.job else f"job {work.number}: ")


def _is_about(about: Subject, present: PresentFastener) -> bool:
    """Whether a finding is about a fastener, or about the whole group that it belongs to."""
    own = present.fastener
    return about.position == own.position or (not about.position and about.key == own.subject.key != "")


def _open(found: FindingView, job: str) -> str:
    words = found.finding.says if found.finding.called is not None else found.finding.words
    if found.concession:
        return f"{job}permitted: {words} ({found.concession})"
    return f"{job}{found.finding.weight.value}: {words}"
