"""The log of a wrench: each row is looked at, then entered under the name of the import, or left out with why.

A row that was entered answers for no fastener until somebody confirms it, see `workshop.jobs.confirming`.
"""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from enum import StrEnum
from hashlib import sha256
from typing import TYPE_CHECKING, Any, NamedTuple

from torqueaudit.book.errors import IdUsed
from torqueaudit.ledger.canonical import canonical
from torqueaudit.ledger.entry import Draft, Entry, hash_of, stamp
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import Outcome, Tightening
from torqueaudit.model.job.record import JobRecord, JobState
from torqueaudit.model.job.repeated import told_already
from torqueaudit.model.judged.subject import subject_at
from torqueaudit.model.log.mapping import LogMapping
from torqueaudit.model.log.rows import LogRow, LogRows
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.model.register.permits import IMPORT, ActName
from torqueaudit.model.torque.specification import TORQUE_AND_ANGLE
from torqueaudit.model.torque.words import torque_text
from torqueaudit.read.log import LogPass, read_pass
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.rows import rows_of
from torqueaudit.workshop.jobs.again import WITHIN
from torqueaudit.workshop.jobs.fasteners import said_of, stage_of
from torqueaudit.workshop.jobs.job import fastener_of, live_record
from torqueaudit.workshop.jobs.judgement import judge
from torqueaudit.workshop.judged.fastener_view import logged_text

if TYPE_CHECKING:
    from torqueaudit.workshop.door.workshop import Workshop


class Becomes(StrEnum):
    """What comes of a row."""

    ENTERED = "entered"
    BEFORE = "entered before"
    TOLD = "told already"  # by somebody, so that it says nothing new
    LEFT = "left out"


class RowLook(NamedTuple):
    """A row, what comes of it, and that in words; `act` is the id it is known by, `said` what its entry says."""

    row: LogRow
    becomes: Becomes
    says: str
    act: str = ""
    job: str = ""
    said: Mapping[str, Any] = {}
    told: LogPass | None = None


class LogLook(NamedTuple):
    """A log that was looked at: the SHA-256 of its file, its own columns, and every row."""

    file: str
    columns: tuple[str, ...]
    rows: tuple[RowLook, ...]

    def those(self, becomes: Becomes) -> tuple[RowLook, ...]:
        """The rows that one thing comes of."""
        return tuple(each for each in self.rows if each.becomes is becomes)


def look_at_log(workshop: "Workshop", name: str, data: bytes, mapping: LogMapping, say: Say) -> LogLook:
    """What each row of a log would do; nothing is recorded.

    Raises Refused where whoever says it may read no log, and where the file cannot be read at all.
    """
    Attempt(workshop, say).permit(ActName.READ_LOG)
    found = rows_of(workshop, name, data, mapping.columns, mapping.file)
    return LogLook(sha256(data).hexdigest(), found.columns, tuple(_looks(workshop, found, mapping)))


def enter_logged(workshop: "Workshop", look: LogLook, say: Say) -> LogLook:
    """Enter the rows that are to be, each as an act of its own, and say of each what came of it.

    The same row is entered once, whoever reads it and from whichever file.
    """
    Attempt(workshop, say).permit(ActName.READ_LOG)
    return look._replace(rows=tuple(_entered(workshop, look, each, say) for each in look.rows))


def _looks(workshop: "Workshop", found: LogRows, mapping: LogMapping) -> Iterator[RowLook]:
    """Each row; the second of two that say the same adds nothing."""
    lines: dict[str, int] = {}
    for row in found.rows:
        look = _look(workshop, row, mapping)
        if look.act in lines:
            look = look._replace(becomes=Becomes.BEFORE, says=f"the same as line {lines[look.act]}")
        elif look.act:
            lines[look.act] = row.line
        yield look


def _look(workshop: "Workshop", row: LogRow, mapping: LogMapping) -> RowLook:
    try:
        return _understood(workshop, row, read_pass(row, mapping, workshop.plugins.units))
    except (ValueError, Refused) as why:
        return RowLook(row, Becomes.LEFT, str(why))


def _understood(workshop: "Workshop", row: LogRow, told: LogPass) -> RowLook:
    """What a row would do on its job; one that is in the book is known again whatever became of that job."""
    of = workshop.record(told.job)
    fastener, positions = fastener_of(workshop, of, told.fastener)
    if len(positions) > 1:
        first, last = fastener.positions[0], fastener.positions[-1]
        raise Refused(f"{told.fastener} is a group; the log has to say which of it, from {first} to {last}")
    act = pass_told(told, fastener)
    said = _said(told, act, positions[0])
    look = RowLook(
        row=row, becomes=Becomes.BEFORE, says="", act=_id(of, told, said), job=of.number, said=said, told=told
    )
    if before := workshop.book.of_act(look.act):
        return look._replace(says=_before(of, before[0].sequence))
    return _new(workshop, look, told, fastener, act)


def _new(workshop: "Workshop", look: RowLook, told: LogPass, fastener: Fastener, act: Tighten) -> RowLook:
    """What a row would do that is not in the book. Raises Refused for whatever an act would be refused for."""
    attempt = Attempt(workshop, Say(IMPORT, told.at))
    of = live_record(attempt, look.job)
    judged = judge(workshop, attempt, act, fastener, workshop.procedure_of(of))
    name = subject_at(fastener, look.said["position"]).text
    draft = attempt.draft(f"job/{of.number}", "tightened.2", {**look.said, "outcome": act.outcome.value}, judged)
    if found := told_already(by_hand(of), draft, WITHIN):
        return look._replace(becomes=Becomes.TOLD, says=f"{name}: {found.noted.by} told this as #{found.noted.entry}")
    when = f"{told.at.astimezone(workshop.settings.timezone):%Y-%m-%d %H:%M:%S}"
    shown = logged_text(act.shown, act.fitted, act.angle, act.final_shown)
    says = f"job {of.number}, {name}: {shown} with {told.wrench} at {when}{_applied(judged)}"
    if of.hand_over and of.state is not JobState.OPEN:
        says += ". THE VEHICLE HAS LEFT: a stop stands until it is confirmed"
    return look._replace(becomes=Becomes.ENTERED, says=says)


def pass_told(told: LogPass, fastener: Fastener) -> Tighten:
    """A row as what a mechanic would say of it; an angle counts where the fastener is specified by one."""
    stage = stage_of(fastener, told.stage)
    angled = fastener.specification.method == TORQUE_AND_ANGLE and stage == fastener.last_stage
    return Tighten(
        outcome=Outcome.VALUE_SHOWN,
        wrench=told.wrench,
        shown=told.shown,
        fitted=told.fitted,
        stage=stage,
        angle=told.angle if angled else "",
        final_shown=told.final_shown if angled else "",
        no_adapter=told.no_adapter,
    )


def by_hand(of: JobRecord) -> JobRecord:
    """A job without the passes that came of a log: two rows of one are two passes, however alike."""
    facts = tuple(each for each in of.facts if not isinstance(each, Tightening) or each.log is None)
    return of._replace(facts=facts)


def _said(told: LogPass, act: Tighten, position: str) -> dict[str, Any]:
    said = {name: value for name, value in said_of(act).items() if name != "thread_ok"}
    said |= {"position": position, "stage": act.stage}
    if act.no_adapter:
        said["no_adapter"] = True
    return {**said, "number": told.number} if told.number else said


def _id(of: JobRecord, told: LogPass, said: Mapping[str, Any]) -> str:
    """By what a row is known again: all that it says, and nothing of who read it, or from which line of which file."""
    return f"log-{hash_of(canonical({**said, 'job': of.number, 'at': stamp(told.at)}))}"


def _applied(judged: Mapping[str, Any]) -> str:
    applied = judged.get("applied_nm")
    return f", {torque_text(Decimal(applied))} applied: {judged['verdict']}" if applied else ""


def _before(of: JobRecord, entry: int) -> str:
    struck = next((each for each in of.strikes if each.entry == entry), None)
    struck_by = f", and struck by {struck.noted.by}: {struck.why}" if struck else ""
    return f"as #{entry} of job {of.number}{struck_by}"


def _entered(workshop: "Workshop", look: LogLook, each: RowLook, say: Say) -> RowLook:
    if each.becomes is not Becomes.ENTERED or each.told is None:
        return each
    itself = Say(IMPORT, each.told.at, id=each.act, came=say.came._replace(door="import"))
    try:
        enter_row(workshop, each, {"run_by": say.by, "file": look.file, "line": each.row.line}, itself)
    except Refused as refused:
        return each._replace(becomes=Becomes.LEFT, says=str(refused))
    except IdUsed:
        return each._replace(becomes=Becomes.LEFT, says="its id says something else in this book; look at the ledger")
    return each


def enter_row(workshop: "Workshop", each: RowLook, whence: Mapping[str, Any], say: Say) -> list[Entry]:
    """Enter one row as what the import itself says; `whence` tells who had it read, of which file and line.

    That is no part of what is said, so that the same row is the same act wherever it was read. Raises Refused.
    """

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, each.job)
        fastener_of(workshop, of, each.said["position"])
        return [attempt.draft(f"job/{each.job}", "logged.1", each.said, whence)]

    return record(workshop, say, ActName.ENTER_LOGGED, f"job/{each.job}/{each.said['position']}", each.said, build)
