"""Why a vehicle on the road may be wanted back, each reason with the entry that says so."""

from collections.abc import Iterator

from torqueaudit.book.lists.records import DAY_ASKED
from torqueaudit.book.lists.upkeep import Row
from torqueaudit.model.job.facts import Fact, MarkState, Measured, Outcome, StepDone, Strike, Tightening
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.job.road import HandOver


def attention_rows(record: JobRecord) -> list[Row]:
    """A row for each reason; none before the vehicle left."""
    hand_over = record.hand_over
    if hand_over is None:
        return []
    if record.withdrawn:
        reasons = [("withdrawn after it left", record.strikes[-1].noted.entry)]
    else:
        reasons = sorted(
            {*_at_hand_over(record, hand_over), *_since(record, hand_over), *_of_fasteners(record, hand_over)}
        )
    return [{"job": int(record.number), "reason": reason, "entry": entry} for reason, entry in reasons]


def _at_hand_over(record: JobRecord, hand_over: HandOver) -> Iterator[tuple[str, int]]:
    if record.release is None or record.unsigned or record.release.noted.order > hand_over.noted.order:
        yield "gone without release", hand_over.noted.entry
    if hand_over.stops:
        yield "open stop", hand_over.noted.entry


def _since(record: JobRecord, hand_over: HandOver) -> Iterator[tuple[str, int]]:
    for strike in record.strikes:
        if _after_release(record, strike):
            yield "struck after release", strike.noted.entry
    if record.day_asked:
        yield DAY_ASKED, record.day_asked.noted.entry
    for fact in record.facts:
        if _reopens(fact, hand_over):
            yield "worked on since", fact.noted.entry
    for taken in {taken.key: taken for taken in record.of(Measured)}.values():
        if taken.inside is False and taken.noted.order > hand_over.noted.order:
            yield "measured outside its limits", taken.noted.entry


def _of_fasteners(record: JobRecord, hand_over: HandOver) -> Iterator[tuple[str, int]]:
    for position in {event.position for event in record.of(Tightening)}:
        now = record.current(position)
        if now.loosening and now.loosening.noted.order > hand_over.noted.order:
            yield "loosened since", now.loosening.noted.entry
        if now.mark and now.mark_state is not MarkState.INTACT:
            yield f"mark {now.mark_state}", now.mark.noted.entry


def _reopens(fact: Fact, hand_over: HandOver) -> bool:
    """Whether something done after the vehicle left may have left a stop behind; a confirming click moved nothing."""
    if fact.noted.order < hand_over.noted.order:
        return False
    if isinstance(fact, StepDone):
        return fact.answer == "no"
    return isinstance(fact, Tightening) and fact.outcome is not Outcome.CLICKED_ONLY


def _after_release(record: JobRecord, strike: Strike) -> bool:
    return record.release is not None and strike.noted.entry > record.release.noted.entry
