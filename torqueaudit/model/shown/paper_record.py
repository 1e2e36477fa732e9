"""The record of a job on paper, for owner and file: what it says, worked out of the same picture as page and sheet.

People and wrenches are numbers. It is read by somebody who knows nothing of workshops, perhaps years later.
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import NamedTuple

from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.judged.finding import Weight
from torqueaudit.model.judged.sentences import names_together
from torqueaudit.model.shown.due import Due, due_now, riding_of
from torqueaudit.model.shown.fastener_lines import FastenerLine, done_text, own_line
from torqueaudit.model.shown.job import FastenerView, ItemView, JobView
from torqueaudit.model.shown.job_words import (
    StepRun,
    conceded_of,
    history_of,
    items_of,
    proof_of,
    says_of,
    sources_of,
    state_says,
    step_runs,
    undone_of,
)
from torqueaudit.model.shown.photos import ShownPhoto, photos_of
from torqueaudit.model.shown.vehicle import Riding, VehicleView
from torqueaudit.model.shown.vehicle_card import vehicle_card
from torqueaudit.model.torque.verdict import NOT_JUDGED, OUT, OUT_NOT_PROVED, SIMPLE
from torqueaudit.model.vehicle.instrument import run_text

NUMBERS = "P- with a number is a person of the workshop, W- with a number one of its torque wrenches."
SPECIFIED = "Specified is what the source prints; the sources stand below by their numbers."
SURE = (
    "± is how far the torque that reached a fastener may lie off (about 95 % sure, k = 2). “In” is inside what is "
    "specified, “out” is outside; “not proved”: the ± reaches beyond a limit, or is not known."
)
ACCEPTED = "By simple acceptance the value decides, without its ±."
BANDED = "With a guard band the value has to lie inside by that share of its ±, U."
MARKS = "A paint mark is a line across fastener and part. Intact is whole; if it is broken, do not ride."
WORDS = "A stop forbids to release the motorcycle, a caution wants a look, a note only tells."
CONCESSIONS = "A concession is a foreman's written permission in spite of one finding, to its limit and until its day."


class PaperSection(NamedTuple):
    """Sentences of one kind: a title, and whether they forbid to ride or to release ("stop", "caution" or "")."""

    title: str
    sentences: tuple[str, ...]
    weight: str = ""


class PaperFastener(NamedTuple):
    """A fastener, or bolts of a group that are alike in every word: their names, their line, how it was judged.

    `reached` is what reached it with its ±, or what became of it; `is_amiss` where that is no torque or was judged to
    be out, `is_marked` where its mark is whole or none is wanted.
    """

    names: str
    line: FastenerLine
    source: str  # its number among the sources, "" for none
    reached: str
    judged: str
    done: str
    is_amiss: bool
    is_marked: bool


class PaperWrench(NamedTuple):
    """A torque wrench of the job: what it is, what it rested on when it was used, and what is known since."""

    number: str
    says: str
    rested: tuple[str, ...]
    since: tuple[str, ...]


class PaperLabel(NamedTuple):
    """The label of the job: what its symbol opens, its large figures, its token, and its lines (name, words)."""

    address: str
    figure: str
    token: str
    lines: tuple[tuple[str, str], ...]


class Gathered(NamedTuple):
    """What is asked of others than the job: its wrenches, its label (None: there is none), whom to call.

    `lost` are the photos, by their small digests, that are not there as they were taken.
    """

    wrenches: tuple[PaperWrench, ...]
    label: PaperLabel | None
    telephone: str
    lost: frozenset[str] = frozenset()


class PaperPhoto(NamedTuple):
    """A photo with its words; `lost` where it is not there as it was taken."""

    shown: ShownPhoto
    says: str
    lost: bool


class PaperRecord(NamedTuple):
    """The record of one job, in the order in which it is read."""

    job: JobView
    weight: str  # of all of it: "stop", "caution" or "good"
    headline: str
    says: tuple[str, ...]
    due: Due
    telephone: str
    label: PaperLabel | None
    wrong: tuple[PaperSection, ...]
    conceded: tuple[str, ...]
    fasteners: tuple[PaperFastener, ...]
    sources: tuple[tuple[str, str], ...]
    wrenches: tuple[PaperWrench, ...]
    measurements: tuple[ItemView, ...]
    parts: tuple[ItemView, ...]
    steps: tuple[StepRun, ...]
    photos: tuple[PaperPhoto, ...]
    notes: tuple[str, ...]
    reading: tuple[str, ...]  # what its words mean


def paper_record(view: JobView, vehicle: VehicleView, gathered: Gathered) -> PaperRecord:
    """Put a job into the words of its record, with how its motorcycle stands over all its jobs."""
    due = due_now(view, vehicle)
    wrong, not_ridden = tuple(_wrong(view, vehicle, due)), _is_not_ridden(vehicle, due)
    return PaperRecord(
        job=view,
        weight="stop" if not_ridden else _weight(view, wrong),
        headline=_headline(view, wrong, not_ridden=not_ridden),
        says=tuple(_says(view)),
        due=due._replace(looks=tuple(_numbers_together(due.looks))),
        telephone=gathered.telephone,
        label=gathered.label,
        wrong=wrong,
        conceded=conceded_of(view),
        fasteners=tuple(_fasteners(view)),
        sources=sources_of(view.fasteners),
        wrenches=gathered.wrenches,
        measurements=items_of(view, "measurement"),
        parts=items_of(view, "part"),
        steps=step_runs(view.items),
        photos=tuple(_photo(each, gathered.lost) for each in photos_of(view)),
        notes=tuple(says_of(view, Weight.NOTE)),
        reading=tuple(_reading(view, wrong)),
    )


def _is_not_ridden(vehicle: VehicleView, due: Due) -> bool:
    """Whether its owner has it, and is told by every door not to ride."""
    return vehicle.presence.with_owner and riding_of(vehicle, due) is not Riding.NO_STOP


def _numbers_together(names: Iterable[str]) -> Iterator[str]:
    """Names in their order, those that differ in their last number alone as one: "mark on the disc bolt 1, 2, 3"."""
    numbers: dict[str, list[str]] = {}
    for name in names:
        stem, _, last = name.rpartition(" ")
        numbers.setdefault(stem if stem and last.isdecimal() else name, []).append(last if last.isdecimal() else "")
    return (f"{stem} {', '.join(last)}".rstrip() for stem, last in numbers.items())


def _wrong(view: JobView, vehicle: VehicleView, due: Due) -> Iterator[PaperSection]:
    """Whatever is not as it should be, the worst first; a kind of which there is none is left out."""
    logged = tuple(f"{f.name}: {row.shown} with {row.wrench}" for f in view.fasteners for row in f.logged)
    late = (f"the re-check: {due.late[0].lower()}{due.late[1:]}.",) if due.late else ()
    found = (
        PaperSection("Stops", view.told_stops, "stop"),
        PaperSection("Undone since", undone_of(view), "stop"),
        PaperSection("Stops of its other jobs", vehicle_card(view, vehicle).stops, "stop"),
        PaperSection("Late", late, "caution"),
        PaperSection("Read from a log, confirmed by nobody", logged, "caution"),
        PaperSection("Found before, not put right yet", view.follows.open if view.follows else (), "caution"),
        PaperSection("Cautions", tuple(says_of(view, Weight.CAUTION)), "caution"),
        PaperSection("History: done again by a later job", history_of(view)),
        PaperSection("Struck", view.strikes),
    )
    return (each for each in found if each.sentences)


def _weight(view: JobView, wrong: Iterable[PaperSection]) -> str:
    weights = {each.weight for each in wrong}
    if view.withdrawn or view.release is None or view.unsigned or "stop" in weights:
        return "stop"
    return "caution" if "caution" in weights else "good"


def _headline(view: JobView, wrong: Iterable[PaperSection], *, not_ridden: bool) -> str:
    """The large words: what the rider does first; then nobody takes a job for released that is not any more."""
    state = _state(view, stands=any(each.weight == "stop" for each in wrong))
    return f"Do not ride: {state[0].lower()}{state[1:]}" if not_ridden else state


def _state(view: JobView, *, stands: bool) -> str:
    if view.withdrawn:
        return "Withdrawn: do not go by this record"
    if view.release is None:
        return "Not released, and it left all the same" if view.hand_over else "Not released"
    if view.unsigned:
        return "Released, and work was done since that nobody has signed"
    return "Released, and a stop stands now" if stands else "Released"


def _says(view: JobView) -> Iterator[str]:
    """How it went: what the page says of its state, and what was read off when it came."""
    if view.withdrawn:
        yield f"Why: {view.withdrawn}"
    yield from state_says(view, len(view.told_stops))
    if read := run_text(view.opening.read, view.instrument):
        yield f"It came with {read}."
    if view.release is None and not view.withdrawn:
        yield "Nobody has signed that this work was done as listed."


def _fasteners(view: JobView) -> Iterator[PaperFastener]:
    """A row for each fastener; bolts of a group that are alike in every word but the minute share one."""
    numbers = {source: str(number) for number, (source, _) in enumerate(sources_of(view.fasteners), 1)}
    alike: dict[tuple[object, ...], list[FastenerView]] = {}
    for each in view.fasteners:
        line, done = own_line(each), each.done
        words = (line._replace(name="", done=""), _reached(each), _judged(each), each.specification.source)
        alike.setdefault((each.subject.name, words, done and (done.by, done.wrench, done.shown)), []).append(each)
    yield from (_row(group, numbers) for group in alike.values())


def _row(group: list[FastenerView], numbers: Mapping[str, str]) -> PaperFastener:
    first, line = group[0], own_line(group[0])
    passes = sorted((each.done for each in group if each.done), key=lambda done: done.when)
    return PaperFastener(
        names=names_together(each.subject for each in group),
        line=line,
        source=numbers.get(first.specification.source, ""),
        reached=_reached(first),
        judged=_judged(first),
        done=done_text(passes[0], passes[-1], whole=True) if passes else "",
        is_amiss=not _is_told(first) or (first.done is not None and first.done.judged.verdict in {OUT, OUT_NOT_PROVED}),
        is_marked=first.mark.state == MarkState.INTACT or not first.mark.wanted,
    )


def _reached(fastener: FastenerView) -> str:
    """What reached it, with its ± and what followed; where that is not what is known today, the words of its line."""
    line = own_line(fastener)
    if _is_told(fastener) and fastener.done:
        return fastener.done.reached
    return ", ".join(filter(None, (line.figure, line.note)))


def _is_told(fastener: FastenerView) -> bool:
    """Whether a torque is known to have reached it that stands, as it was told."""
    line = own_line(fastener)
    return line.number and not line.note


def _judged(fastener: FastenerView) -> str:
    """How it was judged when it was done; "" where it is undone since, or no torque is known."""
    if fastener.done is None or fastener.undone or not proof_of(fastener.done):
        return NOT_JUDGED if _is_told(fastener) else ""
    told_then = fastener.done.corrected or fastener.done.not_known
    return f"{'judged then: ' if told_then else ''}{fastener.done.proof}"


def _photo(shown: ShownPhoto, lost: Collection[str]) -> PaperPhoto:
    """A photo with what it shows, by whom and when it was taken, and what became of it since."""
    photo = shown.view
    is_lost = not photo.erased and photo.small in lost
    why = f": {photo.why}" if photo.why else ""
    since = "lost: it is not there as it was taken" if is_lost else shown.since
    ends = f"; {since}" if since else ""
    return PaperPhoto(shown, f"{shown.names}, by {photo.by} on {photo.when:%Y-%m-%d %H:%M}{why}{ends}", is_lost)


def _reading(view: JobView, wrong: Collection[PaperSection]) -> Iterator[str]:
    """What the words of this record mean, as far as it uses them."""
    yield NUMBERS
    rules = {f.done.judged.decision_rule for f in view.fasteners if f.done and proof_of(f.done)}
    if view.fasteners:
        yield SPECIFIED
    if rules:
        yield SURE
    if SIMPLE in rules:
        yield ACCEPTED
    if rules - {SIMPLE}:
        yield BANDED
    if any(f.mark.wanted for f in view.fasteners):
        yield MARKS
    if wrong or any(says_of(view, Weight.NOTE)):
        yield WORDS
    if any(found.concession for found in view.findings):
        yield CONCESSIONS
