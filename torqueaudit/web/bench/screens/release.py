"""The foreman's release: every finding first, then what is signed by it."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.act import Refused
from torqueaudit.model.judged.finding import Weight
from torqueaudit.model.judged.sentences import Saying, names_together, together
from torqueaudit.model.judged.subject import subject_of
from torqueaudit.model.procedure.procedure import Fastener
from torqueaudit.workshop.jobs.release import release

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.model.shown.job import FastenerView
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/release.html"


class Stop(NamedTuple):
    """A stop that forbids it; `rule` and `subject` name it to a concession, "" where no permission makes it right.

    Of several bolts of a group the subject is the group's key, which means each of them that has this stop.
    """

    says: str
    rule: str
    subject: str


class ReleaseScreen(NamedTuple):
    """What is said of the job, and what a release of it signs, up to which entry; `may` says who it is for."""

    stops: tuple[Stop, ...]
    cautions: tuple[str, ...]
    conceded: tuple[str, ...]
    fasteners: tuple[str, ...]
    rest: str
    up_to: int
    may: bool


def show(at: "AtWork", said: "Next", typed: "Typed") -> ReleaseScreen:
    """Every finding, and the work that waits for a signature."""
    del typed
    standing = [each.finding for each in at.view.findings if not each.concession]
    cautions = together([each for each in standing if each.weight is Weight.CAUTION])
    rest = [subject_of(item) for item in at.job.procedure.work if not isinstance(item, Fastener)]
    return ReleaseScreen(
        stops=tuple(stop_of(each) for each in together(at.view.stops)),
        cautions=tuple(each.says for each in cautions),
        conceded=tuple(f"{each.finding.says} {each.concession}" for each in at.view.findings if each.concession),
        fasteners=tuple(map(_signed, at.view.fasteners)),
        rest=names_together(rest),
        up_to=_newest(at),
        may=at.may(said.act),
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Sign the work recorded so far, unless more was recorded since it was shown."""
    del said
    if typed.number("up_to") != _newest(at):
        raise Refused("something was recorded since this page was shown; read it again, and sign what it says now")
    return release(at.workshop, at.number, say)


def _newest(at: "AtWork") -> int:
    return at.workshop.book.entries(f"job/{at.number}")[-1].sequence


def _signed(fastener: "FastenerView") -> str:
    """A fastener with what was applied, its mark, and who looked a second time."""
    done = fastener.done
    looked = f"checked by {fastener.check.by}" if fastener.check.by else ""
    by = f"{done.by} with {done.wrench}" if done and done.wrench else done.by if done else ""
    mark = f"mark {fastener.mark.state}" if fastener.mark.wanted else ""
    says = ", ".join(filter(None, (fastener.applied or fastener.state, by, mark, looked)))
    return f"{fastener.name}: {says}"


def stop_of(saying: Saying) -> Stop:
    """A stop as a concession names it."""
    first = saying.findings[0]
    if not all(each.concedable for each in saying.findings):
        return Stop(saying.says, "", "")
    return Stop(saying.says, first.rule, first.subject if len(saying.findings) == 1 else first.about.key)
