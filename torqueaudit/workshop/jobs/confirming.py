"""Rows of a wrench's log become passes: whoever tightened the fastener confirms them, and answers for it."""

from collections import Counter
from collections.abc import Collection, Iterable, Iterator
from typing import NamedTuple

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import Logged, Outcome
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.torque.fitted import fitted_of
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.again import require_new
from torqueaudit.workshop.jobs.fasteners import require_helpers, said_of
from torqueaudit.workshop.jobs.job import fastener_of, live_record
from torqueaudit.workshop.jobs.judgement import for_outcome, judge
from torqueaudit.workshop.jobs.logs import by_hand
from torqueaudit.workshop.vehicles.visits import arrival


class Said(NamedTuple):
    """What a log does not know: whether the thread was found as specified, and who had a hand in it besides.

    `rows` are the entries that were shown; where none are told, all that wait are meant.
    """

    thread_ok: bool = True
    helpers: tuple[str, ...] = ()
    rows: tuple[int, ...] = ()


AS_USUAL = Said()


def confirm_logged(workshop: Workshop, job: str, key: str, say: Say, said: Said = AS_USUAL) -> list[Entry]:
    """Confirm what logs say of a fastener, a group, or one of it: each row becomes a pass of whoever says so.

    A pass happened when the log says. Raises Refused where nothing waits to be confirmed, or not what was shown, for
    who did not work here then, and asks back what somebody told by hand within minutes.
    """
    told = {"thread_ok": said.thread_ok, "helpers": list(said.helpers), "rows": list(said.rows)}

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        waiting = _waiting(workshop, of, key, said.rows)
        first = attempt.at(waiting[0].noted.happened_at)
        passes = [_pass(attempt, of, row, act, nth) for row, act, nth in _in_order(waiting, said)]
        require_new(attempt, by_hand(of), workshop.procedure_of(of), passes)
        return [*arrival(first, of.vehicle), *passes]

    return record(workshop, say, ActName.CONFIRM_LOGGED, f"job/{job}/{key}", told, build)


def _waiting(workshop: Workshop, of: JobRecord, key: str, rows: Collection[int]) -> list[Logged]:
    fastener, positions = fastener_of(workshop, of, key)
    waiting = [each for each in of.logged(*positions) if not rows or each.noted.entry in rows]
    if not waiting:
        raise Refused(f"{fastener.name}: no row of a log waits to be confirmed")
    if rows and len(waiting) < len(set(rows)):
        raise Refused(f"{fastener.name}: not all that was shown waits to be confirmed; look at it again")
    return waiting


def _pass(attempt: Attempt, of: JobRecord, row: Logged, act: Tighten, nth: int) -> Draft:
    """A row as a pass, the nth that its wrench did in this act, judged as of its own moment."""
    workshop, then = attempt.workshop, attempt.at(row.noted.happened_at)
    fastener, _ = fastener_of(workshop, of, row.position)
    require_helpers(then, act.helpers)
    judged = for_outcome(judge(workshop, then, act, fastener, workshop.procedure_of(of)), act.outcome, nth)
    words = {**said_of(act), "position": row.position, "stage": row.stage, "outcome": act.outcome.value}
    return then.draft(f"job/{of.number}", "tightened.2", {**words, "log": row.noted.entry}, judged)


def _in_order(rows: Iterable[Logged], said: Said) -> Iterator[tuple[Logged, Tighten, int]]:
    """Each row as what a mechanic would say of it, with how many its wrench did before it."""
    done = Counter[str]()
    for row in rows:
        yield row, _said(row, said), done[row.wrench]
        done[row.wrench] += 1


def _said(row: Logged, said: Said) -> Tighten:
    return Tighten(
        outcome=Outcome.VALUE_SHOWN,
        wrench=row.wrench,
        shown=row.shown,
        fitted=tuple(map(fitted_of, row.fitted)),
        stage=row.stage,
        thread_ok=said.thread_ok,
        helpers=said.helpers,
        angle=row.angle,
        final_shown=row.final_shown,
        no_adapter=row.no_adapter,
    )
