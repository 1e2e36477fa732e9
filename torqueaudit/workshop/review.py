"""Every finding of every rule, as judged today; a rule that breaks is itself a finding that stops release."""

from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from torqueaudit.model.around import Around
from torqueaudit.model.facts import Concession
from torqueaudit.model.finding import NEVER_CONCEDED, Finding, Weight
from torqueaudit.model.job import Job
from torqueaudit.plugins import Plugins

PLUGIN_BROKEN = "plugin-broken"
ORDER = {Weight.STOP: 0, Weight.CAUTION: 1, Weight.NOTE: 2}


class Judged(NamedTuple):
    """A finding, and the concession that covers it today."""

    finding: Finding
    concession: Concession | None = None

    @property
    def stops(self) -> bool:
        """Whether it forbids release."""
        return self.finding.weight is Weight.STOP and self.concession is None


def review(job: Job, around: Around, plugins: Plugins) -> list[Judged]:
    """Stops first, then cautions and notes, each as the rules gave them."""
    findings = [*_trouble(job, around), *_asked(job, around, plugins)]
    granted = {each.covers: each for each in job.record.concessions()}
    judged = [Judged(f, _covering(granted.get(f.key), f, around.today)) for f in findings]
    return sorted(judged, key=lambda each: ORDER[each.finding.weight] + (each.concession is not None))


def stops(judged: Iterable[Judged]) -> list[Finding]:
    """The findings that forbid release."""
    return [each.finding for each in judged if each.stops]


def _covering(concession: Concession | None, finding: Finding, today: date) -> Concession | None:
    """A concession counts until the end of its last day, and never for what no permission makes right."""
    if concession is None or finding.rule in NEVER_CONCEDED or concession.expires_on < today:
        return None
    return concession


def _asked(job: Job, around: Around, plugins: Plugins) -> Iterable[Finding]:
    for name, answer in plugins.ask("review_job", job=job, around=around):
        if isinstance(answer, Exception):
            yield _broken(job, name, f"broke while it looked at this job ({type(answer).__name__}: {answer})")
        elif not isinstance(answer, list) or not all(isinstance(each, Finding) for each in answer):
            yield _broken(job, name, "answered with something that is not a list of findings")
        else:
            yield from answer


def _trouble(job: Job, around: Around) -> Iterable[Finding]:
    for trouble in around.trouble:
        yield _broken(job, trouble.name, trouble.says)


def _broken(job: Job, name: str, says: str) -> Finding:
    sentence = f"plugin {name}: {says}. What it would have found is not known; mend it before release."
    return Finding(PLUGIN_BROKEN, Weight.STOP, f"plugin {name}", sentence, job.record.opened.entry)
