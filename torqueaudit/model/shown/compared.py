"""Two jobs side by side: what was specified, applied and seen in each, with what differs said in words."""

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, NamedTuple, TypeVar

from torqueaudit.model.judged.sentences import names_together, stops_text
from torqueaudit.model.judged.subject import Subject
from torqueaudit.model.shown.job import FastenerView, ItemView, JobView
from torqueaudit.model.torque.words import torque_text
from torqueaudit.model.vehicle.instrument import run_text

if TYPE_CHECKING:
    from collections.abc import Callable

Piece = TypeVar("Piece")

NOTHING = "nothing recorded"
DIFFERS = "differs"
SHORT = 30  # characters of what is told in a sentence
SAID = {"measurement": "value", "part": "fitted", "step": "answer"}  # what was recorded of an item


class ComparedRow(NamedTuple):
    """One thing told of both; `differs` says in words how they differ, "" where they do not or may as well."""

    what: str
    one: str
    other: str
    differs: str = ""

    @property
    def says(self) -> str:
        """What differs, in words, with both where they are short."""
        if self.differs != DIFFERS:
            return f"{self.what}: {self.differs}"
        one, other = self.one or NOTHING, self.other or NOTHING
        short = max(len(one), len(other)) <= SHORT
        return f"{self.what}: {one} in the first, {other} in the second" if short else self.what


class ComparedWork(NamedTuple):
    """A fastener, or bolts told alike, a measurement, a part or a step.

    `only` names the one job that has it, "" where both do.
    """

    kind: str  # "fastener", "measurement", "part", "step"
    name: str
    rows: tuple[ComparedRow, ...]
    only: str = ""

    @property
    def differing(self) -> tuple[str, ...]:
        """What of it differs, in words: "mark: disturbed in the first, intact in the second"; that one job has it."""
        if self.only:
            return (f"only in job {self.only}",)
        return tuple(row.says for row in self.rows if row.differs)


class ComparedJobs(NamedTuple):
    """Two jobs, how each went, and each piece of their work, in the order of the first and then of the second."""

    one: JobView
    other: JobView
    course: tuple[ComparedRow, ...]
    works: tuple[ComparedWork, ...]

    @property
    def differing(self) -> tuple[ComparedWork, ...]:
        """The work that is not the same in both."""
        return tuple(each for each in self.works if each.differing)

    @property
    def differences(self) -> tuple[str, ...]:
        """What differs, in a sentence for each work that both have, and one for what one job alone has."""
        both = (f"{each.name}: {'; '.join(each.differing)}" for each in self.differing if not each.only)
        alone = (
            (view.number, [w.name for w in self.works if w.only == view.number]) for view in (self.one, self.other)
        )
        return (*both, *(f"only in job {number}: {'; '.join(names)}" for number, names in alone if names))


def compared(one: JobView, other: JobView) -> ComparedJobs:
    """Put two jobs side by side; they may be on one motorcycle or on two."""
    works = (*_together(_fasteners(one, other)), *_items(one, other))
    return ComparedJobs(one, other, tuple(_course(one, other)), works)


def _row(what: str, one: str, other: str) -> ComparedRow:
    return ComparedRow(what, one, other, DIFFERS if one != other else "")


def _course(one: JobView, other: JobView) -> Iterator[ComparedRow]:
    """How each went: what is of its own day differs anyhow, and is not called different."""
    yield _row("motorcycle", _vehicle(one), _vehicle(other))
    yield _row("procedure", _procedure(one), _procedure(other))
    yield ComparedRow("opened", _opened(one), _opened(other))
    yield _row("state", one.state, other.state)
    yield ComparedRow("released", *(f"by {each.release.by}" if each.release else "by nobody" for each in (one, other)))
    yield ComparedRow("left", *(str(each.hand_over.on) if each.hand_over else "not yet" for each in (one, other)))
    yield _row("stops now", *(stops_text(len(each.told_stops)) for each in (one, other)))


def _vehicle(view: JobView) -> str:
    return f"{view.vehicle_tag} ({view.vehicle})"


def _procedure(view: JobView) -> str:
    return f"{view.procedure.title}, edition {view.procedure.edition} ({view.procedure.digest[:8]})"


def _opened(view: JobView) -> str:
    read = run_text(view.opening.read, view.instrument)
    return f"{view.opening.on} by {view.opening.by}{f', at {read}' if read else ''}"


def _fasteners(one: JobView, other: JobView) -> Iterator[tuple[Subject, ComparedWork]]:
    for named, mine, theirs in _pairs(one.fasteners, other.fasteners, lambda each: each.position):
        rows = _of_both(mine, theirs, other.number) if mine and theirs else _of_one(named, first=theirs is None)
        only = _only(one, other, mine, theirs)
        yield named.subject, ComparedWork("fastener", named.name, tuple(rows), only)


def _items(one: JobView, other: JobView) -> Iterator[ComparedWork]:
    for named, mine, theirs in _pairs(one.items, other.items, lambda each: (each.kind, each.key)):
        rows = _item_rows(named.kind, mine, theirs)
        yield ComparedWork(named.kind, named.name, tuple(rows), _only(one, other, mine, theirs))


def _pairs(
    ones: Iterable[Piece], others: Iterable[Piece], key: "Callable[[Piece], object]"
) -> Iterator[tuple[Piece, Piece | None, Piece | None]]:
    """Each piece of work with what the first job and the second have of it: the first one's, then what is left."""
    left = {key(each): each for each in others}
    for each in ones:
        yield each, each, left.pop(key(each), None)
    for each in left.values():
        yield each, None, each


def _only(one: JobView, other: JobView, mine: object | None, theirs: object | None) -> str:
    """The one job that has a piece of work, "" where both do."""
    if mine is None:
        return other.number
    return one.number if theirs is None else ""


def _of_both(one: FastenerView, other: FastenerView, number: str) -> Iterator[ComparedRow]:
    for (what, mine), (_, theirs) in zip(_told(one), _told(other), strict=True):
        if what == "tightened":  # by whom and when: another day's
            yield ComparedRow(what, mine, theirs)
        elif what == "applied" and mine != theirs:
            yield ComparedRow(what, mine, theirs, _by_how_much(one, other, number))
        else:
            yield _row(what, mine, theirs)


def _of_one(fastener: FastenerView, *, first: bool) -> Iterator[ComparedRow]:
    for what, said in _told(fastener):
        yield ComparedRow(what, said if first else "", "" if first else said)


def _told(fastener: FastenerView) -> Iterator[tuple[str, str]]:
    """What is specified, what was applied with what and by whom, and what was seen."""
    done, mark, check = fastener.done, fastener.mark, fastener.check
    specification = fastener.specification
    yield "specified", f"{specification.says}{f' ({specification.source})' if specification.source else ''}"
    yield "applied", (done.reached or done.outcome) if done else fastener.state
    yield "wrench", " at ".join(filter(None, (done.wrench, done.shown))) if done else ""
    yield "tightened", f"{done.by}, {done.when:%Y-%m-%d %H:%M}" if done else ""
    yield "judged then", done.judged.verdict if done else ""
    yield "mark", mark.state if mark.wanted or mark.seen_on else "no mark wanted"
    yield "second look", check.method if check.by else "missing" if check.wanted else "not asked for"


def _by_how_much(one: FastenerView, other: FastenerView, number: str) -> str:
    """How much more or less reached it in the second job."""
    mine, theirs = (each.done.applied_nm if each.done else None for each in (one, other))
    if mine is None or theirs is None or mine == theirs:
        return DIFFERS
    return f"{torque_text(abs(theirs - mine))} {'more' if theirs > mine else 'less'} in job {number}"


def _item_rows(kind: str, one: ItemView | None, other: ItemView | None) -> Iterator[ComparedRow]:
    """What was recorded of an item, and its limits where it has any; of one job alone nothing differs."""
    both, row = (one, other), _row if one and other else ComparedRow
    if any(each and each.limits for each in both):
        yield row("limits", *((each.limits or "none stated") if each else "" for each in both))
    yield row(SAID[kind], *((each.said or NOTHING) if each else "" for each in both))


def _together(works: Iterable[tuple[Subject, ComparedWork]]) -> Iterator[ComparedWork]:
    """The bolts of a group of which the same is to be said as one."""
    alike: dict[tuple[str, ComparedWork], list[Subject]] = {}
    for subject, work in works:
        alike.setdefault((subject.name, work._replace(name="")), []).append(subject)
    for (_, work), subjects in alike.items():
        yield work._replace(name=names_together(subjects))
