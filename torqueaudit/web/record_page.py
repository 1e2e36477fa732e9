"""What the record's page says, worked out of the job's picture, so that the template only sets it."""

from typing import NamedTuple

from torqueaudit.model.job.record import JobState
from torqueaudit.model.judged.finding import Weight
from torqueaudit.model.judged.sentences import with_capital
from torqueaudit.model.shown.due import Due, Urgency, due_now
from torqueaudit.model.shown.fastener_lines import FastenerLine, other_fasteners, present_lines
from torqueaudit.model.shown.job import ItemView, JobView
from torqueaudit.model.shown.job_words import (
    Proof,
    StepRun,
    conceded_of,
    history_of,
    items_of,
    proofs_of,
    says_of,
    sources_of,
    state_says,
    step_runs,
    undone_of,
)
from torqueaudit.model.shown.recheck import RecheckView
from torqueaudit.model.shown.vehicle import VehicleView
from torqueaudit.model.shown.vehicle_card import VehicleCard, vehicle_card

SHOWN_STOPS = 4  # of an open job, where most stops are work still to come; the others are folded


class RecordPage(NamedTuple):
    """The card of one job, in the order it is read."""

    job: JobView
    vehicle: VehicleCard
    undone: tuple[str, ...]  # by somebody's report
    history: tuple[str, ...]  # done by another job since
    weight: str  # of the card as a whole: "stop", "caution" or "good"
    state: str
    state_says: tuple[str, ...]
    due: Due
    stops: tuple[str, ...]
    more_stops: tuple[str, ...]
    cautions: tuple[str, ...]
    carried: tuple[str, ...]  # what another job found and this one has to put right
    conceded: tuple[str, ...]
    notes: tuple[str, ...]
    fasteners: tuple[FastenerLine, ...]
    others: tuple[str, ...]  # of the vehicle's fasteners and not of this job's, each in a sentence
    last_recheck: str  # "" where none is asked for
    measurements: tuple[ItemView, ...]
    steps: tuple[StepRun, ...]
    parts: tuple[ItemView, ...]
    proofs: tuple[Proof, ...]
    sources: tuple[tuple[str, str], ...]
    left: str


def record_page(view: JobView, vehicle: VehicleView) -> RecordPage:
    """Put one job's picture into the words of its card, behind how its vehicle stands now."""
    stops = view.told_stops
    cautions = tuple(says_of(view, Weight.CAUTION))
    shown = _shown_of(view, len(stops))
    undone = undone_of(view)
    due = due_now(view, vehicle)
    return RecordPage(
        job=view,
        vehicle=vehicle_card(view, vehicle),
        undone=undone,
        history=history_of(view),
        weight=_weight(view, bool(stops or undone or due.urgency >= Urgency.RECHECK_LATE), bool(cautions)),
        state=with_capital(view.state),
        state_says=tuple(state_says(view, len(stops))),
        due=due,
        stops=stops[:shown],
        more_stops=stops[shown:],
        cautions=cautions,
        carried=view.follows.open if view.follows else (),
        conceded=conceded_of(view),
        notes=tuple(says_of(view, Weight.NOTE)),
        fasteners=tuple(present_lines(view, vehicle)),
        others=tuple(other_fasteners(view, vehicle)),
        last_recheck=_last_recheck(view.recheck) if view.recheck_wanted else "",
        measurements=items_of(view, "measurement"),
        steps=step_runs(view.items),
        parts=items_of(view, "part"),
        proofs=proofs_of(view.fasteners),
        sources=sources_of(view.fasteners),
        left=_left(view),
    )


def _shown_of(view: JobView, stops: int) -> int:
    """How many of the stops are shown unfolded."""
    return SHOWN_STOPS if view.state == JobState.OPEN and stops > SHOWN_STOPS + 1 else stops


def _weight(view: JobView, stop: bool, caution: bool) -> str:  # noqa: FBT001  # two answers, asked in this order
    unsigned = view.hand_over is not None and (view.release is None or bool(view.unsigned))
    if stop or view.withdrawn or unsigned:
        return "stop"
    return "caution" if caution else "good"


def _last_recheck(recheck: RecheckView | None) -> str:
    if recheck is None or recheck.done_on is None:
        return "None yet."
    return f"{recheck.done_on} by {recheck.done_by}. Every mark above carries the day it was last seen."


def _left(view: JobView) -> str:
    if view.hand_over is None:
        return f"True on {view.book.asked_at:%Y-%m-%d %H:%M}; the vehicle has not been handed over."
    return f"True when the vehicle left on {view.hand_over.on}; others may have worked on it since."
