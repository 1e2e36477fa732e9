"""The fasteners on a record's card, each as it stands now, whichever job did it last."""

from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.job.facts import MarkState, Outcome
from torqueaudit.model.job.record import FastenerState
from torqueaudit.model.judged.sentences import names_together
from torqueaudit.model.shown.job import FastenerView, JobView
from torqueaudit.model.shown.passes import PassView
from torqueaudit.model.shown.vehicle import PresentFastener, VehicleView
from torqueaudit.model.torque.words import torque_text

if TYPE_CHECKING:
    from torqueaudit.model.judged.subject import Subject

NOT_KNOWN = "not known"
USUAL = frozenset({Outcome.TURNED_CLICKED, Outcome.VALUE_SHOWN})


class FastenerLine(NamedTuple):
    """One fastener on the card; `emblem` is the id of the witness line's drawing, `lacks` what it still needs."""

    name: str
    emblem: str
    mark: str
    seen: str
    figure: str
    number: bool  # whether the figure is a torque
    specified: str
    note: str
    done: str
    checked: str
    lacks: str
    undone: bool
    job: str = ""  # that did it, where that is another than the one whose label this is


def present_lines(view: JobView, vehicle: VehicleView) -> Iterable[FastenerLine]:
    """This job's fasteners as they stand now, whichever job did it."""
    present = {each.fastener.position: each for each in vehicle.fasteners}
    for own in view.fasteners:
        now = present.get(own.position)
        yield own_line(own) if now is None or now.job == view.number else _line_of(now)


def fastener_lines(vehicle: VehicleView) -> Iterable[FastenerLine]:
    """Every fastener of a vehicle as it stands now, with the job that did it."""
    return map(_line_of, vehicle.fasteners)


def other_fasteners(view: JobView, vehicle: VehicleView) -> Iterable[str]:
    """The fasteners of other jobs, those that stand alike together: "sprocket bolt 1, 2: 50 N·m, intact, job 9"."""
    own = {fastener.position for fastener in view.fasteners}
    alike: dict[str, list[Subject]] = {}
    for each in vehicle.fasteners:
        if each.fastener.position not in own:
            line = _line_of(each)
            alike.setdefault(f"{line.figure}, {line.mark}, {line.job}", []).append(each.fastener.subject)
    return (f"{names_together(subjects)}: {says}." for says, subjects in alike.items())


def _line_of(present: PresentFastener) -> FastenerLine:
    signed = "" if present.signed else ", signed by nobody"
    return own_line(present.fastener)._replace(job=f"job {present.job}{signed}")


def own_line(f: FastenerView) -> FastenerLine:
    """A fastener as its own job knows it."""
    figure, note = _figure(f)
    emblem, mark, seen = _mark(f)
    return FastenerLine(
        name=f.name,
        emblem=emblem,
        mark=mark,
        seen=seen,
        figure=figure,
        number=figure == f.applied or (f.done is not None and f.done.corrected_nm is not None),
        specified=f.specification.says,
        note=note,
        done=done_text(f.done, f.done) if f.done else "",
        checked=f"checked by {f.check.by}: {f.check.method}" if f.check.by and not f.undone else "",
        lacks=_lacks(f),
        undone=bool(f.undone),
    )


def done_text(first: PassView, last: PassView, *, whole: bool = False) -> str:
    """Say who tightened it and when, with which wrench, and at what where that is not what reached the fastener.

    As a `whole` at what in any case. Of bolts that are told together the passes from the first to the last, which
    differ in nothing else.
    """
    at = f" at {first.shown}" if first.shown and (whole or first.shown != first.applied) else ""
    wrench = f"{first.wrench}{at}" if first.wrench else ""
    return " · ".join(filter(None, (first.by, _span(first.when, last.when), wrench)))


def _span(first: datetime, last: datetime) -> str:
    """From one minute to another, the day once."""
    begins, ends = f"{first:%Y-%m-%d %H:%M}", f"{last:%Y-%m-%d %H:%M}"
    if begins == ends:
        return begins
    return f"{begins} to {ends.removeprefix(f'{first:%Y-%m-%d} ')}"


def _lacks(f: FastenerView) -> str:
    wanted = f.check.wanted and not f.check.by and not f.undone
    return "independent check missing" if wanted and f.state == FastenerState.TIGHTENED else ""


def _figure(f: FastenerView) -> tuple[str, str]:
    """Give the large words of a fastener and the small ones beside them; what was undone is never the large figure."""
    if f.undone:
        before = f"; before that {f.applied}" if f.applied else ""
        return "undone", f"{f.undone.removeprefix('undone ')}{before}"
    if f.state != FastenerState.TIGHTENED or f.done is None:
        return f.state, f.applied
    outcome, corrected = f.done.outcome, f.done.corrected_nm
    if f.done.not_known:
        return NOT_KNOWN, f"its wrench was found out or put right; told as {f.applied}"
    if corrected is not None:
        where = " at the seat" if f.done.seat else ""
        return f"{torque_text(corrected)}{where}{f.done.beyond.says}", f"corrected; told as {f.applied}"
    return (f.applied, "" if outcome in USUAL else outcome) if f.applied else (outcome, "")


def _mark(f: FastenerView) -> tuple[str, str, str]:
    """Give the drawing, the word and the day of a witness mark."""
    mark = f.mark
    if f.undone:
        return "n", "mark void", ""
    if mark.state == MarkState.NOT_MARKED and not mark.wanted:
        return "n", "no mark wanted", ""
    drawings = {MarkState.INTACT: "i", MarkState.DISTURBED: "d", MarkState.UNREADABLE: "u", MarkState.NOT_SEEN: "s"}
    return drawings.get(MarkState(mark.state), "n"), mark.state, f"{mark.seen_on:%Y-%m-%d}" if mark.seen_on else ""
