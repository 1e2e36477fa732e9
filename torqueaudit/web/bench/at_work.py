"""What every screen of the bench knows: the workshop, who is at it, and the job as it stands."""

from typing import TYPE_CHECKING, NamedTuple, Protocol

from torqueaudit.model.act import Refused, Say, id_within
from torqueaudit.model.judged.next import Next
from torqueaudit.model.procedure.procedure import Fastener, Work
from torqueaudit.model.register.permits import ActName, acts_of
from torqueaudit.model.shown.recheck import stands_words
from torqueaudit.web.asking import Asking
from torqueaudit.workshop.judged.job_view import look_at

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.job.record import Job
    from torqueaudit.model.judged.around import Around
    from torqueaudit.model.shown.job import JobView
    from torqueaudit.web.typed import Typed
    from torqueaudit.workshop.door.workshop import Workshop


class Shown(NamedTuple):
    """A picture of some work: its address below the bench, what it says, and the sides of the small one in pixels."""

    address: str
    says: str
    width: int
    height: int


class AtWork(NamedTuple):
    """One look at a job by somebody who is signed in."""

    workshop: "Workshop"
    asking: Asking
    job: "Job"
    around: "Around"
    view: "JobView"

    @property
    def number(self) -> str:
        """The job's number."""
        return self.job.record.number

    @property
    def recheck_stands(self) -> str:
        """How the re-check of the job stands, in words; "" where it has none."""
        return stands_words(self.view.recheck) if self.view.recheck else ""

    def item(self, key: str) -> Work:
        """The work of this key, or the fastener that has this position. Raises Refused."""
        item = self.job.procedure.item(key) or self.job.procedure.fastener_at(key)
        if item is None:
            raise Refused(f"{key}: this job has no such work; go back to what comes next")
        return item

    def fastener(self, key: str) -> Fastener:
        """The fastener of this key or position. Raises Refused."""
        item = self.item(key)
        if not isinstance(item, Fastener):
            raise Refused(f"{item.name}: is nothing that is tightened; go back to what comes next")
        return item

    def shown(self, key: str) -> Shown | None:
        """The picture that the procedure shows of some work; None where it shows none."""
        picture = self.item(key).picture
        if picture is None:
            return None
        address = f"procedure/{self.job.record.digest}/picture/{picture.digest}"
        return Shown(address, picture.says, picture.width, picture.height)

    def may(self, act: ActName) -> bool:
        """Whether the roles of whoever is at the bench allow an act."""
        person = self.workshop.person(self.asking.person)
        return person is not None and act in acts_of(person)

    def own(self, key: str) -> bool:
        """Whether whoever is at the bench had a hand in a fastener, or in one of a group. Raises Refused."""
        fastener = self.fastener(key)
        positions = fastener.positions if key == fastener.key else (key,)
        return any(self.asking.person in self.job.record.hands_on(position) for position in positions)


class Screen(Protocol):
    """A kind of screen: a module with its template's name and these two functions."""

    TEMPLATE: str

    def show(self, at: AtWork, said: Next, typed: "Typed") -> object:
        """What the screen shows of an act to come; `typed` is what was typed before, where it was refused."""

    def act(self, at: AtWork, said: Next, typed: "Typed", say: Say) -> "Sequence[Entry]":
        """Record what its form tells. Raises Refused."""


class NotSure(Refused):
    """What is told can hardly be so; it is taken once somebody says that it is."""


class OutOfDate(Refused):
    """What a page asks for has changed since it was opened; what was ticked on it was of something else."""


class Partly(Refused):
    """Several things were told at once, and not all are recorded: those that are, and why the next one is not."""

    def __init__(self, done: "Sequence[Entry]", why: Refused) -> None:
        super().__init__(why.says, why.see)
        self.done = tuple(done)
        self.why = why


def one_by_one(acts: "Iterable[Callable[[], Sequence[Entry]]]") -> "list[Entry]":
    """Do several acts of one form. Raises Refused where the first is refused, Partly where a later one is."""
    done: list[Entry] = []
    for act in acts:
        try:
            done += act()
        except Refused as refused:
            if done:
                raise Partly(done, refused) from None
            raise
    return done


def nth(say: Say, number: int) -> Say:
    """The same words for another act of one form, under an id of its own that comes of the form's."""
    return say._replace(id=id_within(say.id, number))


def at_work(workshop: "Workshop", asking: Asking, number: str) -> AtWork:
    """A job as it stands, for somebody at the bench. Raises Refused for an unknown one."""
    return AtWork(workshop, asking, *look_at(workshop, number))
