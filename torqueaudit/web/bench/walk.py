"""The way through a job: which kind of screen an act has, its address, and what comes next for whom."""

from collections.abc import Mapping
from importlib import import_module
from typing import TYPE_CHECKING, NamedTuple, cast

from torqueaudit.model.act import Refused
from torqueaudit.model.job.record import FastenerState
from torqueaudit.model.judged.next import Next
from torqueaudit.model.procedure.procedure import Fastener, Fit, Measurement, Step, Work
from torqueaudit.model.register.permits import ActName
from torqueaudit.model.shown.job import ToDo
from torqueaudit.model.shown.photos import photos_of
from torqueaudit.workshop.judged.next import filled

if TYPE_CHECKING:
    from collections.abc import Iterable

    from torqueaudit.model.shown.photos import ShownPhoto
    from torqueaudit.web.bench.at_work import AtWork, Screen

SCREENS: Mapping[ActName, str] = {
    ActName.STEP: "step",
    ActName.FIT: "part",
    ActName.TIGHTEN: "tighten",
    ActName.CONFIRM_LOGGED: "confirm",
    ActName.LOOSEN: "loosen",
    ActName.MARK: "mark",
    ActName.PHOTOGRAPH: "photograph",
    ActName.CHECK: "check",
    ActName.MEASURE: "measure",
    ActName.RELEASE: "release",
    ActName.CONCEDE: "concede",
    ActName.HAND_OVER: "hand_over",
    ActName.RECHECK: "recheck",
    ActName.POSTPONE_RECHECK: "postpone",
    ActName.REFUSE_RECHECK: "refuse",
    ActName.REFER_RECHECK: "refer",
    ActName.ANSWER_RECHECK: "answer",
    ActName.OPEN: "follow",
    ActName.UNDO: "undo",
}
ACTS: Mapping[type[Work], ActName] = {
    Step: ActName.STEP,
    Fit: ActName.FIT,
    Fastener: ActName.TIGHTEN,
    Measurement: ActName.MEASURE,
}
LOGGED = "a log is to be confirmed"
WHOLE = "job"  # in the place of a key, of an act on the job as a whole


def screen_of(act: ActName) -> "Screen":
    """The kind of screen of an act. Raises Refused for an act that the bench has none for."""
    if act not in SCREENS:
        raise Refused(f"{act.value}: there is no screen for this; go back to what comes next")
    return cast("Screen", import_module(f"torqueaudit.web.bench.screens.{SCREENS[act]}"))


def address_of(job: str, said: Next) -> str:
    """Where the screen of an act is: "job/12/tighten/rear-axle-nut"; a look at something is told in the address."""
    address = f"job/{job}/{_written(said.act)}/{said.key or WHOLE}"
    return f"{address}?look=1" if said.look and said.act is ActName.MARK else address


def act_at(at: "AtWork", written: str, key: str, *, look: bool) -> Next:
    """The act that an address means, with what has to be told with it. Raises Refused."""
    found = next((act for act in SCREENS if _written(act) == written), None)
    if found is None:
        raise Refused(f"{written[:20]}: there is no such screen; go back to what comes next")
    said = Next(found, "" if key == WHOLE else key, look=look)
    return filled(at.job, said, at.workshop.plugins) if said.key else said


def _written(act: ActName) -> str:
    return act.value.replace(" ", "-")


class WorkLine(NamedTuple):
    """One piece of work in the procedure's order: how it stands ("done", "stop" or "open"), and where its screen is."""

    name: str
    says: str
    stands: str
    address: str
    photos: "tuple[ShownPhoto, ...]" = ()


def next_for(at: "AtWork") -> ToDo | None:
    """What comes next for whoever is at the bench; None where nothing does.

    A check of one's own work is passed over, as somebody else does it, unless the next step would hide the fastener.
    """
    if begun := next((each for each in at.view.to_do if _is_begun(at, each)), None):
        return begun
    waiting: list[ToDo] = []
    for each in (each for each in at.view.to_do if each.answer):
        key = each.answer.key if each.answer else ""
        if each.answer and each.answer.act is ActName.CHECK and at.own(key):
            waiting.append(each)
        elif not _hides(at, key, waiting):
            return each
        else:
            break
    rest = [each for each in at.view.to_do if not each.answer]
    return next(iter([*waiting, *rest]), None)


def _is_begun(at: "AtWork", coming: ToDo) -> bool:
    """Whether it is a stage of a group of which some bolts are done: the others come before anything else."""
    said = coming.answer
    if said is None or said.act is not ActName.TIGHTEN or said.key not in [f.key for f in at.job.procedure.fasteners()]:
        return False
    positions = at.fastener(said.key).positions
    done = [at.job.record.reached(position, max(said.stage, 1)) for position in positions]
    return any(done) and not all(done)


def work_of(at: "AtWork") -> tuple[WorkLine, ...]:
    """Everything of a job in its order, each with how it stands."""
    photos = photos_of(at.view)
    return tuple(_line(at, item, photos) for item in at.job.procedure.work)


def _hides(at: "AtWork", key: str, waiting: list[ToDo]) -> bool:
    """Whether a step covers a fastener that still waits for its check."""
    item = at.job.procedure.item(key)
    covers = item.covers if isinstance(item, Step) else ()
    return any(each.answer and at.fastener(each.answer.key).key in covers for each in waiting)


def _line(at: "AtWork", item: Work, photos: "Iterable[ShownPhoto]") -> WorkLine:
    waits = isinstance(item, Fastener) and bool(at.job.record.logged(*item.positions))
    act = ActName.CONFIRM_LOGGED if waits else ACTS[type(item)]
    says = said_of(at, item)
    stopped = any(each.about.key == item.key and not each.due for each in at.view.stops)
    stands = "stop" if stopped else "done" if says and not waits else "open"
    told = ", ".join(filter(None, (says, LOGGED if waits else "")))
    address = address_of(at.number, Next(act, item.key))
    own = tuple(each for each in photos if item.key in [subject.key for subject in each.shows])
    return WorkLine(item.name, told or "to do", stands, address, photos=own)


def said_of(at: "AtWork", item: Work) -> str:
    """How an item stands, in words; "" where nothing is told of it."""
    if not isinstance(item, Fastener):
        return next((each.said for each in at.view.items if each.key == item.key), "")
    own = [each for each in at.view.fasteners if each.position in item.positions]
    done = [each for each in own if each.state == FastenerState.TIGHTENED and not each.undone]
    if len(done) < len(own):
        return f"{len(done)} of {len(own)} tightened" if done else ""
    marks = {each.mark.state for each in own if each.mark.wanted}
    lacks = any(each.check.wanted and not each.check.by for each in own)
    return ", ".join(
        ["tightened", *(f"mark {state}" for state in sorted(marks)), *(["to be checked"] if lacks else [])]
    )
