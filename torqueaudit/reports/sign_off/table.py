"""A sign-off as CSV: one row for everything that is told, which a spreadsheet opens without running anything."""

import csv
from collections.abc import Iterator
from io import StringIO

from torqueaudit.model.shown.sign_off import SignOff
from torqueaudit.model.shown.signed_job import SaidBy, SignedJob
from torqueaudit.reports.data import harmless, table_file

COLUMNS = ("from", "to", "job", "vehicle", "tag", "title", "what", "about", "by", "when", "entry", "says")


def sign_off_csv(told: SignOff) -> bytes:
    """What cannot be read first, then each job, then the facts, one row for each of their jobs."""
    target = StringIO()
    writer = csv.writer(target)
    writer.writerow(COLUMNS)
    days = {"from": told.first.isoformat(), "to": told.last.isoformat()}
    for row in _rows(told):
        writer.writerow([harmless({**days, **row}.get(name, "")) for name in COLUMNS])
    return table_file(target.getvalue())


def _rows(told: SignOff) -> Iterator[dict[str, str]]:
    yield from ({"what": "cannot be read", "says": says} for says in told.unread)
    known = {job.number: job for job in told.jobs}
    for job in told.jobs:
        yield from ({**_named(job), **row} for row in _of_job(job))
    for fact in told.facts:
        yield from ({**_named(known[job]), "what": fact.key, "says": fact.says} for job in fact.jobs)


def _named(job: SignedJob) -> dict[str, str]:
    return {"job": job.number, "vehicle": job.vehicle, "tag": job.tag, "title": job.title}


def _of_job(job: SignedJob) -> Iterator[dict[str, str]]:
    yield {"what": "state", "says": job.state}
    if job.unsigned:
        yield {"what": "not signed", "says": job.unsigned}
    yield _row("opened", job.opened)
    yield from _of_fasteners(job)
    yield from (_row("released", each) for each in job.releases)
    yield from (_row("handed over", each.said, says=each.text) for each in job.leavings)
    yield from (_row("conceded", each.said, each.about, each.text) for each in job.conceded)
    yield from (_row("struck", each.said, each.about, each.text) for each in job.struck)
    yield from (_row("late", each.said, each.about, each.text) for each in job.late)


def _of_fasteners(job: SignedJob) -> Iterator[dict[str, str]]:
    for fastener in job.fasteners:
        if fastener.tightened is None:
            yield {"what": fastener.state, "about": fastener.name}
            continue
        yield _row("tightened", fastener.tightened, fastener.name, fastener.tightened_text)
        if check := fastener.check:
            yield _row("self re-inspection" if check.is_own else "checked", check.said, fastener.name, check.text)
        elif fastener.unchecked:
            yield {"what": "not checked", "about": fastener.name}


def _row(what: str, said: SaidBy, about: str = "", says: str = "") -> dict[str, str]:
    when = said.when.isoformat(sep=" ", timespec="minutes")
    return {"what": what, "about": about, "by": said.by, "when": when, "entry": str(said.entry), "says": says}
