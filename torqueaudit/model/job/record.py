"""A job, folded from its own entries: what is true of each fastener now, and how far the work has come."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from enum import StrEnum
from functools import cached_property
from typing import TYPE_CHECKING, Any, NamedTuple, TypeAlias, TypeVar

from torqueaudit.model.job.entries import READERS, fact_of
from torqueaudit.model.job.facts import (
    Check,
    Concession,
    Fact,
    Logged,
    Loosening,
    MarkSeen,
    MarkState,
    Measured,
    Outcome,
    PartFitted,
    PhotoErased,
    Photographed,
    Release,
    StepDone,
    Strike,
    Tightening,
)
from torqueaudit.model.job.noted import Noted, noted_of
from torqueaudit.model.job.road import Arrangement, DayAsked, HandOver, Read, Recheck, RecheckAnswered, run_of
from torqueaudit.model.unread import Unread, told_of
from torqueaudit.model.vehicle.instrument import Hours, Run, run_in

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.procedure.procedure import Procedure

KINDS = frozenset({"opened.1", *READERS})

F = TypeVar("F", bound=Fact)
WorkDone: TypeAlias = Tightening | Loosening | PartFitted | Measured
# As isinstance asks for them: of each fact of each job.
_TURNED = (Tightening, Loosening)
_ON_A_FASTENER = (*_TURNED, MarkSeen, Check)
_WORK = (*_TURNED, PartFitted, Measured)


class JobState(StrEnum):
    """How far a job has come."""

    OPEN = "open"
    RELEASED = "released"
    HANDED_OVER = "handed over"
    RECHECKED = "re-checked"
    WITHDRAWN = "withdrawn"


class FastenerState(StrEnum):
    """The one state a fastener is in."""

    NOT_TIGHTENED = "not tightened"
    STAGE = "tightened to a stage"
    TIGHTENED = "tightened"
    LOOSENED = "loosened"


class Current(NamedTuple):
    """What is true of one fastener now; mark and check are those of this tightening and no earlier one."""

    position: str
    state: FastenerState
    tightening: Tightening | None = None
    mark: MarkSeen | None = None
    check: Check | None = None
    loosening: Loosening | None = None

    @property
    def standing(self) -> int | None:
        """The entry of the tightening that stands."""
        return self.tightening.noted.entry if self.tightening else None

    @property
    def mark_state(self) -> MarkState:
        """What was last seen of the mark on this tightening."""
        return self.mark.state if self.mark else MarkState.NOT_MARKED

    @property
    def disturbed(self) -> MarkSeen | None:
        """Its mark where that is disturbed and nothing was done about it."""
        stands = self.state is FastenerState.TIGHTENED and self.mark_state is MarkState.DISTURBED
        return self.mark if stands else None


class _Said(NamedTuple):
    """The fields of a job's record."""

    number: str
    site: str
    vehicle: str
    digest: str  # of the procedure's text
    token: str
    opened: Noted
    read: Run | None  # off the vehicle when it was opened
    follows: str
    only: tuple[str, ...]  # keys of the fasteners it is of alone, empty where it is of its whole procedure
    validity: str  # "" inside what the sources hold for, else the sentence that says why not
    facts: tuple[Fact, ...]
    strikes: tuple[Strike, ...]
    withdrawn: bool
    last: Noted
    length: int  # how many entries were folded
    unread: tuple[Unread, ...] = ()  # entries that cannot be read and were not struck


class JobRecord(_Said):
    """Everything a job's entries say that was not struck, in the order the work happened.

    What is worked out from it is cached here, as a NamedTuple cannot (decision 0001).
    """

    @cached_property
    def by_position(self) -> Mapping[str, tuple[Fact, ...]]:
        """The facts of each fastener, sorted once: rules ask after every one many times."""
        grouped: dict[str, list[Fact]] = {}
        for fact in self.facts:
            if isinstance(fact, _ON_A_FASTENER):
                grouped.setdefault(fact.position, []).append(fact)
        return {position: tuple(own) for position, own in grouped.items()}

    def of(self, kind: type[F]) -> tuple[F, ...]:
        """The facts of one kind, in the order the work happened."""
        return self._by_kind.get(kind, ())

    @cached_property
    def _by_kind(self) -> Mapping[type, tuple[Any, ...]]:
        """The facts of each kind, sorted once: rules ask after every kind many times."""
        grouped: dict[type, list[Fact]] = {}
        for fact in self.facts:
            grouped.setdefault(type(fact), []).append(fact)
        return {kind: tuple(own) for kind, own in grouped.items()}

    def last_of(self, kind: type[F]) -> F | None:
        """The latest fact of one kind."""
        facts = self.of(kind)
        return facts[-1] if facts else None

    @cached_property
    def to_confirm(self) -> tuple[Logged, ...]:
        """The rows of logs that nobody has confirmed, in the order of the work: no fastener stands by them yet."""
        confirmed = {done.log for done in self.of(Tightening)}
        return tuple(each for each in self.of(Logged) if each.noted.entry not in confirmed)

    def logged(self, *positions: str) -> tuple[Logged, ...]:
        """Those of some fasteners."""
        return tuple(each for each in self.to_confirm if each.position in positions)

    @property
    def hand_over(self) -> HandOver | None:
        """When and how the vehicle left last."""
        return self.last_of(HandOver)

    @property
    def first_ride(self) -> HandOver | None:
        """The leaving that the re-check counts from: the last one behind which something had been turned."""
        return next((left for left in reversed(self.of(HandOver)) if left.plans), None)

    @property
    def day_asked(self) -> DayAsked | None:
        """The day that the owner asked for last, while the re-check is not done and nothing was agreed since."""
        asked, settled = self.last_of(DayAsked), self.arranged or self.first_ride
        return asked if asked and settled and not self.recheck and asked.noted.order > settled.noted.order else None

    @property
    def release(self) -> Release | None:
        """The last permission to hand over; it signs the entries before it and no later one."""
        return self.last_of(Release)

    @cached_property
    def unsigned(self) -> tuple[WorkDone, ...]:
        """What was turned, loosened, fitted or measured and is signed by no release, in the order of the work.

        A value taken after the vehicle left is a look, which the re-check concludes, until something is turned.
        """
        signed = self.release.noted.entry if self.release else 0
        first, *later = self._visits
        done = [*first, *(fact for visit in later if _changed(visit) for fact in visit)]
        return tuple(fact for fact in done if fact.noted.entry > signed)

    @property
    def reworked(self) -> bool:
        """Whether something was turned, loosened or fitted after the vehicle left last."""
        return len(self._visits) > 1 and _changed(self._visits[-1])

    @cached_property
    def _visits(self) -> list[list[WorkDone]]:
        """What was done between one leaving and the next; a click that turned nothing changed nothing."""
        visits: list[list[WorkDone]] = [[]]
        for fact in self.facts:
            if isinstance(fact, HandOver):
                visits.append([])
            elif isinstance(fact, Tightening) and fact.outcome is Outcome.CLICKED_ONLY:
                continue
            elif isinstance(fact, _WORK):
                visits[-1].append(fact)
        return visits

    @property
    def recheck(self) -> Recheck | RecheckAnswered | None:
        """The look after the first ride, by another workshop too; one before the vehicle left was not that."""
        found, left = self.last_of(Recheck), self.first_ride
        if found and left and found.noted.order > left.noted.order:
            return found
        answers = [each for each in self._arranged if isinstance(each, RecheckAnswered)]
        return answers[-1] if answers and answers[-1].in_order else None

    @property
    def arranged(self) -> Arrangement | None:
        """What was agreed last about the re-check of the leaving it counts from; None where nothing was."""
        agreed = self._arranged
        return agreed[-1] if agreed else None

    @cached_property
    def _arranged(self) -> tuple[Arrangement, ...]:
        """What was agreed about any other leaving holds no more, so that none is put off by it."""
        left = self.first_ride
        agreed = (fact for fact in self.facts if isinstance(fact, Arrangement))
        return tuple(fact for fact in agreed if left and fact.of == left.noted.entry)

    @property
    def state(self) -> JobState:
        """How far the job has come; worked on after the vehicle left it is open again until released anew."""
        if self.withdrawn:
            return JobState.WITHDRAWN
        if self.hand_over and not self.reworked:
            return JobState.RECHECKED if self.recheck else JobState.HANDED_OVER
        return JobState.RELEASED if self.release and not self.unsigned else JobState.OPEN

    def current(self, position: str) -> Current:
        """The one state a fastener is in. A position nobody touched is not tightened."""
        now = self._states.get(position)
        if now is None:
            now = self._states[position] = current_of(position, self.by_position.get(position, ()))
        return now

    @cached_property
    def _states(self) -> dict[str, Current]:
        """The state of each fastener that was asked for."""
        return {}

    def reached(self, position: str, stage: int) -> bool:
        """Whether a fastener has come to a stage, counted from 1, since it was last loose."""
        now = self.current(position)
        return now.state is not FastenerState.LOOSENED and now.tightening is not None and now.tightening.stage >= stage

    def events(self, position: str) -> tuple[Tightening | Loosening, ...]:
        """Every pass and every loosening of one fastener, history included."""
        return self._events.get(position, ())

    @cached_property
    def _events(self) -> Mapping[str, tuple[Tightening | Loosening, ...]]:
        return {
            position: tuple(fact for fact in facts if isinstance(fact, _TURNED))
            for position, facts in self.by_position.items()
        }

    def passes(self, position: str) -> tuple[Tightening, ...]:
        """Every pass over one fastener since it was last loose."""
        passes: list[Tightening] = []
        for event in self.events(position):
            passes = [*passes, event] if isinstance(event, Tightening) else []
        return tuple(passes)

    def hands_on(self, position: str) -> frozenset[str]:
        """Everybody who answers for a fastener since it was last loose: who turned it, helped, or supervises them."""
        hands: set[str] = set()
        for event in self.events(position):
            if isinstance(event, Loosening):
                hands.clear()
            elif event.outcome is not Outcome.CLICKED_ONLY:
                hands |= {event.noted.by, event.noted.supervisor, *event.helpers}
        return frozenset(hands - {""})

    def steps(self, key: str) -> StepDone | None:
        """The latest answer to one step."""
        return self._steps.get(key)

    @cached_property
    def _steps(self) -> Mapping[str, StepDone]:
        return {fact.key: fact for fact in self.of(StepDone)}

    def measured(self, key: str) -> Measured | None:
        """The latest value of one measurement."""
        return self._measured.get(key)

    @cached_property
    def _measured(self) -> Mapping[str, Measured]:
        return {fact.key: fact for fact in self.of(Measured)}

    def fitted(self, key: str) -> PartFitted | None:
        """The latest part fitted under one key."""
        return self._fitted.get(key)

    @cached_property
    def _fitted(self) -> Mapping[str, PartFitted]:
        return {fact.key: fact for fact in self.of(PartFitted)}

    def photos(self, *keys: str) -> tuple[Photographed, ...]:
        """The photos that name one of these keys or positions, erased ones among them; every one where none is told."""
        return tuple(each for each in self.of(Photographed) if not keys or not {*keys}.isdisjoint(each.keys))

    def photographed(self, position: str, key: str) -> bool:
        """Whether a photo of a fastener, by its position or its key, shows it as it stands and was not erased."""
        return any(
            not self.erased(each) and not self.turned_since(position, each.noted) for each in self.photos(position, key)
        )

    def turned_since(self, position: str, noted: Noted) -> bool:
        """Whether a fastener got its present tightening, or was loosened, after something was noted."""
        now = self.current(position)
        turned = now.tightening or now.loosening
        return turned is not None and turned.noted.order > noted.order

    def erased(self, photo: Photographed) -> PhotoErased | None:
        """What erased a photo; None while it stands."""
        digest, told = photo.photo.digest, photo.noted.entry
        return next((e for e in self.of(PhotoErased) if e.digest == digest and e.noted.entry > told), None)

    def concessions(self) -> tuple[Concession, ...]:
        """Every permission granted."""
        return self.of(Concession)

    @property
    def odometer_m(self) -> int | None:
        """The odometer when it was opened."""
        return None if isinstance(self.read, Hours) else self.read

    def runs(self) -> tuple[tuple[Noted, Run], ...]:
        """Whatever was read off the vehicle, and when."""
        read = [
            (self.opened, self.read),
            *((fact.noted, run_of(fact)) for fact in self.facts if isinstance(fact, Read)),
        ]
        return tuple((noted, run) for noted, run in read if run is not None)

    def odometers(self) -> tuple[tuple[datetime, int, int], ...]:
        """Every odometer reading as (when, metres, entry)."""
        runs = ((noted, run) for noted, run in self.runs() if not isinstance(run, Hours))
        return tuple((noted.happened_at, metres, noted.entry) for noted, metres in runs)


class Job(NamedTuple):
    """A job's record beside the procedure it follows."""

    record: JobRecord
    procedure: "Procedure"

    @property
    def number(self) -> str:
        """The job's number as people say it."""
        return self.record.number


def _changed(visit: Iterable[WorkDone]) -> bool:
    return any(not isinstance(fact, Measured) for fact in visit)


def current_of(position: str, facts: Iterable[Fact]) -> Current:
    """Walk one fastener's facts in the order of the work.

    A pass that clicked without turning confirms the tightening before it and does not replace it: nothing moved, so
    its mark still stands (decision 0005). A mark once disturbed stays so, whatever is painted or said later, until the
    fastener is tightened anew.
    """
    now = Current(position, FastenerState.NOT_TIGHTENED)
    for fact in facts:
        if isinstance(fact, Tightening) and fact.position == position:
            if fact.outcome is Outcome.CLICKED_ONLY and now.state is FastenerState.TIGHTENED:
                continue
            state = FastenerState.TIGHTENED if fact.final else FastenerState.STAGE
            now = Current(position, state, fact)
        elif isinstance(fact, Loosening) and fact.position == position:
            now = Current(position, FastenerState.LOOSENED, loosening=fact)
        elif isinstance(fact, MarkSeen) and fact.of == now.standing:
            if now.mark_state is not MarkState.DISTURBED or fact.state is MarkState.DISTURBED:
                now = now._replace(mark=fact)
        elif isinstance(fact, Check) and fact.of == now.standing:
            now = now._replace(check=fact)
    return now


def fold_record(entries: Sequence["Entry"]) -> JobRecord:
    """What the entries of one job say, as far as they can be read. The first is its opening.

    Raises ValueError without entries, NothingKnown where the opening cannot be read.
    """
    if not entries:
        raise ValueError("a job begins with its opening")
    record: JobRecord
    record, unread = told_of(entries, _folded, KINDS)
    return record._replace(unread=unread, length=len(entries)) if record.length < len(entries) else record


def _folded(entries: Sequence["Entry"]) -> JobRecord:
    if entries[0].kind != "opened.1":
        raise ValueError("a job begins with its opening")
    opening = entries[0]
    for key in ("title", "needs", "holds", "checks"):  # the lists are made of them
        opening.judged[key]
    facts = [fact_of(entry) for entry in entries[1:]]
    strikes = tuple(fact for fact in facts if isinstance(fact, Strike))
    struck = {strike.entry for strike in strikes}
    live = [f for f in facts if not isinstance(f, Strike) and f.noted.entry not in struck]
    live.sort(key=lambda fact: fact.noted.order)
    return JobRecord(
        number=opening.key,
        site=opening.site,
        vehicle=opening.said["vehicle"],
        digest=opening.said["procedure"],
        token=opening.judged["token"],
        opened=noted_of(opening),
        read=run_in(opening.said),
        follows=opening.said.get("follows", ""),
        only=tuple(opening.said.get("only", ())),
        validity=opening.judged.get("validity", ""),
        facts=tuple(live),
        strikes=strikes,
        withdrawn=opening.sequence in struck,
        last=noted_of(entries[-1]),
        length=len(entries),
    )
