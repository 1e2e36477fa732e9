"""Every finding of every rule, as judged today; a rule that breaks is itself a finding that stops release."""

from collections.abc import Iterable, Iterator
from datetime import date
from typing import NamedTuple

from torqueaudit.model.act import See, Topic
from torqueaudit.model.job.facts import Concession
from torqueaudit.model.job.record import Job, JobRecord
from torqueaudit.model.judged.around import Around
from torqueaudit.model.judged.finding import Finding, Remark, Weight
from torqueaudit.model.judged.overtaken import Later, later_jobs, overtaken_by
from torqueaudit.model.judged.rule_name import CORE, key_today
from torqueaudit.model.judged.subject import Subject
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.plugins import Plugins
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.around import around_of

UNREAD_ENTRY = f"{CORE}/unread-entry"
PLUGIN_BROKEN = f"{CORE}/plugin-broken"
ORDER = {Weight.STOP: 0, Weight.CAUTION: 1, Weight.NOTE: 2}


class Judged(NamedTuple):
    """A finding, the concession that covers it today, and the later job that has done since what it is about."""

    finding: Finding
    concession: Concession | None = None
    overtaken: str = ""

    @property
    def stops(self) -> bool:
        """Whether it forbids release."""
        return self.finding.weight is Weight.STOP and self.concession is None and not self.overtaken


def review(job: Job, around: Around, plugins: Plugins) -> list[Judged]:
    """Stops first, then cautions and notes, each as the rules gave them."""
    findings = [*_unread(job, around), *_trouble(job, around), *_asked(job, around, plugins), *_remarked(job, plugins)]
    keys = [finding.key for finding in findings]
    granted = {key_today(each.covers, keys): each for each in job.record.concessions()}
    later = later_jobs(job, around) if job.record.hand_over else Later({}, ())
    judged = [
        Judged(f, _covering(granted.get(f.key), f, around.today), overtaken_by(job, around, later, f.about))
        for f in findings
    ]
    return sorted(judged, key=lambda each: ORDER[each.finding.weight] + (each.concession is not None))


def remarks_on(procedure: Procedure, plugins: Plugins) -> Iterator[Remark]:
    """What rules say of a procedure's own values; one that breaks is itself a remark that stops.

    See decision 0027.
    """
    for answer in plugins.remarks(procedure):
        yield from answer.given
        if answer.fault:
            yield _broken(answer.plugin, answer.says("looked at this procedure"))


def stops(judged: Iterable[Judged]) -> list[Finding]:
    """The findings that forbid release."""
    return [each.finding for each in judged if each.stops]


def _covering(concession: Concession | None, finding: Finding, today: date) -> Concession | None:
    """A concession counts until the end of its last day, and never for what no permission makes right."""
    if concession is None or not finding.concedable or concession.expires_on < today:
        return None
    return concession


def _remarked(job: Job, plugins: Plugins) -> Iterator[Finding]:
    return (_of_opening(job, remark) for remark in remarks_on(job.procedure, plugins))


def _asked(job: Job, around: Around, plugins: Plugins) -> Iterator[Finding]:
    for answer in plugins.findings(job, around):
        yield from answer.given
        if answer.fault:
            yield _of_opening(job, _broken(answer.plugin, answer.says("looked at this job")))


def _unread(job: Job, around: Around) -> Iterator[Finding]:
    """What entries say that cannot be read may be anything, also that a wheel is loose."""
    for each in (*job.record.unread, *around.vehicle.unread):
        yield Finding(
            rule=UNREAD_ENTRY,
            weight=Weight.STOP,
            about=Subject(f"entry {each.entry} ({each.subject})"),
            words=f"it cannot be read: {each.why}. What it says is not known",
            entry=each.entry,
            concedable=False,
            see=See(Topic.UNREAD, str(each.entry)),
        )


def _trouble(job: Job, around: Around) -> Iterator[Finding]:
    return (_of_opening(job, _broken(trouble.name, trouble.says)) for trouble in around.trouble)


def _of_opening(job: Job, remark: Remark) -> Finding:
    """What was so before the work began was caused by the job's opening (decision 0004)."""
    return Finding(
        rule=remark.rule,
        weight=remark.weight,
        about=remark.about,
        words=remark.words,
        entry=job.record.opened.entry,
        concedable=remark.concedable,
    )


def _broken(name: str, says: str) -> Remark:
    return Remark(
        rule=PLUGIN_BROKEN,
        weight=Weight.STOP,
        about=Subject(f"plugin {name}"),
        words=f"{says}. What it would have found is not known; mend it before release.",
        concedable=False,
    )


def judge(workshop: Workshop, of: JobRecord) -> list[Judged]:
    """Every finding on a record as it stands."""
    job = Job(of, workshop.procedure_of(of))
    return review(job, around_of(workshop, job), workshop.plugins)
