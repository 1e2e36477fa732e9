"""The hand-over: the vehicle leaves at an odometer, released, or for a reason with the stops that stand."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.recheck.due import is_counted
from torqueaudit.model.shown.job_words import conceded_of
from torqueaudit.model.vehicle.instrument import run_text
from torqueaudit.read.day import read_day
from torqueaudit.web.bench.odometer import read_typed_run
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.jobs.release import hand_over

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/hand_over.html"


class HandOverScreen(NamedTuple):
    """What stands against it, and the odometer that was read last."""

    stops: tuple[str, ...]
    conceded: tuple[str, ...]  # to which limit it leaves, for whoever tells the rider
    signed: bool
    before: str  # what was read at the opening, in words
    odometer: str
    why: str
    asks_day: bool  # of the re-check, where its plan names nothing that is counted
    recheck_by: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> HandOverScreen:
    """What whoever lets it go reads first."""
    del said
    plan, record = at.job.procedure.recheck, at.job.record
    first = record.hand_over is None or record.reworked
    return HandOverScreen(
        stops=at.view.told_stops,
        conceded=conceded_of(at.view),
        signed=at.view.release is not None and not at.view.unsigned,
        before=run_text(at.view.opening.read, at.view.instrument),
        odometer=typed.one("odometer"),
        why=typed.one("why"),
        asks_day=plan is not None and first and not is_counted(plan, at.view.instrument),
        recheck_by=typed.one("recheck_by"),
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record that it left."""
    del said
    with refused_if_unreadable():
        by = read_day(typed.one("recheck_by")) if typed.one("recheck_by") else None
    return hand_over(at.workshop, at.number, read_typed_run(typed), say, typed.one("why"), by)
