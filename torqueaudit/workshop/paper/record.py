"""The record of a job on paper, gathered: judged at the last entry of the book, so that one book gives one paper."""

from collections.abc import Iterator, Mapping
from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.book import photos
from torqueaudit.ledger.entry import moment_of
from torqueaudit.model.judged.finding import Weight
from torqueaudit.model.judged.sentences import names_together
from torqueaudit.model.shown.job_words import says_of
from torqueaudit.model.shown.paper_record import (
    Gathered,
    PaperLabel,
    PaperRecord,
    PaperWrench,
    paper_record,
)
from torqueaudit.model.shown.photos import photos_of
from torqueaudit.model.shown.recheck import stands_words
from torqueaudit.model.wrench.classes import SETTING
from torqueaudit.model.wrench.words import reach_text
from torqueaudit.photo.harmless import can_be_drawn
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import look_at, told
from torqueaudit.workshop.register.printing import offered_for_job
from torqueaudit.workshop.vehicles.present import vehicle_view
from torqueaudit.workshop.wrenches.in_hand import take
from torqueaudit.workshop.wrenches.uses import doubtful_uses, unknown_uses, uses_put_right
from torqueaudit.workshop.wrenches.view import WITHDRAWN, rests_on
from torqueaudit.workshop.wrenches.wrench import require_wrench

if TYPE_CHECKING:
    from torqueaudit.model.judged.subject import Subject
    from torqueaudit.model.shown.job import JobView
    from torqueaudit.model.shown.passes import PassView
    from torqueaudit.model.wrench.wrench import Wrench

LABEL = "job"  # the kind of label that stands on it
TRIES = 3  # while others write


class Paper(NamedTuple):
    """A record on paper with its photos, each the small one by its digest."""

    record: PaperRecord
    photos: Mapping[str, bytes]


def paper_of(workshop: Workshop, number: str) -> Paper:
    """The record of a job as it stood at the last entry of the book, with a head that may be shown.

    Raises Refused when there is none of that number.
    """
    for _ in range(TRIES):
        head = workshop.book.head()
        paper = _gathered(_at_last_entry(workshop, head.sequence), number)
        if workshop.book.head() == head:
            break
    job = paper.record.job
    return paper._replace(record=paper.record._replace(job=job._replace(book=told(workshop, job.book))))


def changed_since(workshop: Workshop, record: PaperRecord) -> tuple[str, ...]:
    """What the days alone have changed since the last entry of the book: what stands today and is not on the paper."""
    now = look_at(workshop, record.job.number).view
    before = set(_standing(record.job))
    return tuple(each for each in _standing(now) if each not in before)


def _standing(view: "JobView") -> Iterator[str]:
    yield from view.told_stops
    yield from says_of(view, Weight.CAUTION)
    if view.recheck:
        yield f"re-check: {stands_words(view.recheck)}"


def _at_last_entry(workshop: Workshop, sequence: int) -> Workshop:
    """The workshop by a clock that stands at the last entry of its book."""
    last = workshop.book.entry(sequence)
    return workshop.at(moment_of(last.recorded_at) if last else workshop.clock())


def _gathered(workshop: Workshop, number: str) -> Paper:
    view = look_at(workshop, number).view
    vehicle, taken = vehicle_view(workshop, view.vehicle), _photos(workshop, view)
    gathered = Gathered(
        wrenches=tuple(_wrenches(workshop, view)),
        label=_label(workshop, view),
        telephone=workshop.settings.telephone,
        lost=frozenset(small for small, content in taken.items() if content is None),
    )
    there = {small: content for small, content in taken.items() if content is not None}
    return Paper(paper_record(view, vehicle, gathered), there)


def _photos(workshop: Workshop, view: "JobView") -> dict[str, bytes | None]:
    """The small one of each photo that was not erased, by its digest; None where it is not there as it was taken."""
    standing = (each.view for each in photos_of(view) if not each.view.erased)
    found = {each.small: photos.read(workshop.book.path, each.digest, each.small) for each in standing}
    return {small: kept if kept and can_be_drawn(kept) else None for small, kept in found.items()}


def _label(workshop: Workshop, view: "JobView") -> PaperLabel | None:
    """What is printed on the label of the job; None where it gets none."""
    offered = (each.content for each in offered_for_job(workshop, view) if each.kind.name == LABEL)
    content = next(offered, None)
    if content is None:
        return None
    lines = tuple(
        (line.name, " · ".join(filter(None, (line.words, line.also)))) for line in content.lines if line.words
    )
    return PaperLabel(content.address, content.figure, content.token, lines)


def _wrenches(workshop: Workshop, view: "JobView") -> Iterator[PaperWrench]:
    """The wrenches of its passes by their numbers, with what each rested on when it was used."""
    passes = [each.done for each in view.fasteners if each.done and each.done.wrench]
    ordered = sorted(passes, key=lambda done: (done.wrench, done.when))
    for number, used in groupby(ordered, key=lambda done: done.wrench):
        wrench = require_wrench(workshop, number)
        kind = "a setting wrench (it clicks)" if wrench.kind == SETTING else "an indicating wrench (it shows)"
        yield PaperWrench(
            number=number,
            says=", ".join(filter(None, (kind, reach_text(wrench)))),
            rested=tuple(dict.fromkeys(_rested(workshop, wrench, done) for done in used)),
            since=tuple(_since(workshop, wrench, view)),
        )


def _rested(workshop: Workshop, wrench: "Wrench", done: "PassView") -> str:
    """What a wrench rested on when a pass was done."""
    in_force = take(workshop.book, workshop.settings, wrench, done.when).in_force
    calibration = in_force.calibration
    by = f" by {calibration.laboratory}" if calibration and calibration.laboratory else ""
    named = f", certificate {calibration.certificate}{by}" if calibration and calibration.certificate else ""
    return f"used on {done.when:%Y-%m-%d}: {rests_on(in_force)}{named}"


def _since(workshop: Workshop, wrench: "Wrench", view: "JobView") -> Iterator[str]:
    """What became of a wrench, and which passes of this job it puts in doubt, those of which it says the same at once.

    That its calibration ended since is nothing to what it did before.
    """
    if wrench.withdrawn:
        yield f"now {WITHDRAWN}: {wrench.withdrawn}"
    own = {each.done.entry: each.subject for each in view.fasteners if each.done}
    doubts: dict[str, list[Subject]] = {}
    for uses in (doubtful_uses, unknown_uses, uses_put_right):
        for use in uses(workshop, wrench):
            if use.entry in own:
                doubts.setdefault(use.doubt, []).append(own[use.entry])
    yield from (f"in doubt, {names_together(about)}: {doubt}" for doubt, about in doubts.items())
