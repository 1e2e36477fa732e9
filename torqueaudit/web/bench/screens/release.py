"""The foreman's release: every finding first, then what is signed by it."""

from typing import TYPE_CHECKING, NamedTuple

from torqueaudit.model.judged.finding import Weight
from torqueaudit.model.judged.sentences import Saying, names_together, together
from torqueaudit.model.judged.subject import subject_of
from torqueaudit.workshop.jobs.release import release

if TYPE_CHECKING:
    from torqueaudit.ledger.entry import Entry
    from torqueaudit.model.act import Say
    from torqueaudit.model.judged.next import Next
    from torqueaudit.web.bench.at_work import AtWork
    from torqueaudit.web.typed import Typed

TEMPLATE = "bench/release.html"


class Stop(NamedTuple):
    """A stop that forbids it; `rule` and `subject` name it to a concession, "" where no permission makes it right."""

    says: str
    rule: str
    subject: str


class ReleaseScreen(NamedTuple):
    """What is said of the job, and what a release of it signs."""

    stops: tuple[Stop, ...]
    cautions: tuple[str, ...]
    conceded: tuple[str, ...]
    signs: str


def show(at: "AtWork", said: "Next", typed: "Typed") -> ReleaseScreen:
    """Every finding, and the work that waits for a signature."""
    del said, typed
    standing = [each.finding for each in at.view.findings if not each.concession]
    cautions = together([each for each in standing if each.weight is Weight.CAUTION])
    return ReleaseScreen(
        stops=tuple(_stop(each) for each in together(at.view.stops)),
        cautions=tuple(each.says for each in cautions),
        conceded=tuple(f"{each.finding.says} {each.concession}" for each in at.view.findings if each.concession),
        signs=names_together(at.view.unsigned or tuple(map(subject_of, at.job.procedure.work))),
    )


def act(at: "AtWork", said: "Next", typed: "Typed", say: "Say") -> "list[Entry]":
    """Sign the work recorded so far."""
    del said, typed
    return release(at.workshop, at.number, say)


def _stop(saying: Saying) -> Stop:
    first = saying.findings[0]
    alone = len(saying.findings) == 1 and first.concedable
    return Stop(saying.says, first.rule if alone else "", first.subject if alone else "")
