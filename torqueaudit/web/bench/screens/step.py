"""A step: done, not done, or not applicable here; of a look: in order, or a fault found."""

from functools import partial
from itertools import takewhile
from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.procedure.procedure import Step
from torqueaudit.read.words import read_answer
from torqueaudit.web.bench.at_work import nth, one_by_one
from torqueaudit.workshop.jobs.steps_and_parts import do_step

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.job.record import Job
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/step.html"
ASK_WORDS = ("no", "fault")
ALONE = ", alone"  # behind an answer that holds for the first of several steps alone


class Button(NamedTuple):
    """One answer: what is sent, and what stands on its button."""

    sends: str
    says: str


class StepScreen(NamedTuple):
    """What is done or looked at. `good` is the one answer that needs no words; the `others` ask for some."""

    name: str
    says: str
    means: str  # what follows from a fault
    good: Button
    others: tuple[Button, ...]
    ask: str  # what the words tell
    remark: str
    more: tuple[Step, ...]  # which follow at once, and may be told with it


def show(at: "AtWork", said: "Next", typed: "Typed") -> StepScreen:
    """The step as the procedure says it."""
    step = _step(at, said)
    more = following(at.job, step)
    done = Button("yes", f"Done: all {len(more) + 1}" if more else "Done")
    good = Button("in order", "In order") if step.look else done
    others = (Button("fault", "Fault found"),) if step.look else (Button("no", "Not done"),)
    return StepScreen(
        name=step.name,
        says=step.says,
        means=step.means,
        good=good,
        others=(*others, Button("not applicable", "Does not apply here")),
        ask="What was found, or why it does not apply" if step.look else "Why",
        remark=typed.one("remark"),
        more=more,
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Record the answer."""
    step = _step(at, said)
    try:
        answer = read_answer(typed.one("answer").removesuffix(ALONE))
    except ValueError:
        raise Refused(f"{step.name}: nothing was chosen; tap one of the answers") from None
    if answer in ASK_WORDS and not typed.one("remark"):
        raise Refused(f"{step.name}: {'say what was found' if step.look else 'say why it is not done'}")
    also = typed.every("also") if typed.one("answer") == "yes" else ()
    if not all(_plain(_step(at, said._replace(key=key))) for key in also):
        raise Refused(f"{step.name}: a step that proves or hides something is told alone; open this page anew")
    keys = (step.key, *also)
    told = list(enumerate(keys, start=1))
    remark = typed.one("remark")
    return one_by_one(
        partial(do_step, at.workshop, at.number, key, answer, remark if number == 1 else "", nth(say, number))
        for number, key in told
    )


def following(job: "Job", step: Step) -> tuple[Step, ...]:
    """The steps right behind one that nobody has answered yet, as one goes on to the next without a tool or a look.

    None of them proves or hides anything: such a step, like a look, is told alone.
    """
    if not _plain(step):
        return ()
    work = job.procedure.work
    behind = work[work.index(step) + 1 :]
    run = takewhile(lambda item: isinstance(item, Step) and _plain(item) and not job.record.steps(item.key), behind)
    return tuple(item for item in run if isinstance(item, Step))


def _plain(step: Step) -> bool:
    return step.required and not (step.look or step.proves or step.covers)


def _step(at: "AtWork", said: "Next") -> Step:
    item = at.item(said.key)
    if not isinstance(item, Step):
        raise Refused(f"{item.name}: is no step; go back to what comes next")
    return item
