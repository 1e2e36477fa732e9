"""A sign-off of some days as JSON."""

from torqueaudit.model.shown.sign_off import Fact, SignOff
from torqueaudit.model.shown.signed_job import (
    LateEntry,
    SaidBy,
    SignedConcession,
    SignedFastener,
    SignedJob,
    SignedLeaving,
    SignedStrike,
)
from torqueaudit.reports.json.values import Object, iso


def sign_off_json(told: SignOff) -> Object:
    """Each job as it stood at the end of the days; the same days give the same object while nothing is struck."""
    return {
        "from": iso(told.first),
        "to": iso(told.last),
        "site": told.site,
        "demo": told.demo,
        "unread": list(told.unread),
        "jobs": [_job(each) for each in told.jobs],
        "facts": [_fact(each) for each in told.facts],
        "head": told.head,
        "asked_at": iso(told.asked_at),
    }


def _fact(fact: Fact) -> Object:
    return {"key": fact.key, "says": fact.says, "jobs": list(fact.jobs)}


def _job(job: SignedJob) -> Object:
    return {
        "job": job.number,
        "vehicle": job.vehicle,
        "tag": job.tag,
        "title": job.title,
        "state": job.state,
        "withdrawn": job.withdrawn,
        "opened": _said(job.opened),
        "released": [_said(each) for each in job.releases],
        "handed_over": [_leaving(each) for each in job.leavings],
        "unsigned": job.unsigned,
        "fasteners": [_fastener(each) for each in job.fasteners],
        "conceded": [_concession(each) for each in job.conceded],
        "struck": [_strike(each) for each in job.struck],
        "late": [_late(each) for each in job.late],
    }


def _said(said: SaidBy) -> Object:
    return {"by": said.by, "when": iso(said.when), "entry": said.entry}


def _leaving(left: SignedLeaving) -> Object:
    return {**_said(left.said), "stops": left.stops, "why": left.why}


def _fastener(fastener: SignedFastener) -> Object:
    check = fastener.check
    return {
        "name": fastener.name,
        "positions": list(fastener.positions),
        "state": fastener.state,
        "tightened": _said(fastener.tightened) if fastener.tightened else None,
        "supervisor": fastener.supervisor,
        "helpers": list(fastener.helpers),
        "wrench": fastener.wrench,
        "outcome": fastener.outcome,
        "check_wanted": fastener.wanted,
        "checked": {**_said(check.said), "method": check.method, "self": check.is_own, "why": check.why}
        if check
        else None,
    }


def _concession(granted: SignedConcession) -> Object:
    return {
        **_said(granted.said),
        "rule": granted.rule,
        "about": granted.about,
        "basis": granted.basis,
        "limit": granted.limit,
        "expires_on": iso(granted.expires_on),
    }


def _strike(strike: SignedStrike) -> Object:
    return {
        **_said(strike.said),
        "struck": strike.entry,
        "what": strike.what,
        "about": strike.about,
        "why": strike.why,
        "since": strike.since,
    }


def _late(late: LateEntry) -> Object:
    return {
        "by": late.said.by,
        "when": iso(late.said.when),
        "entries": list(late.entries),
        "what": late.what,
        "about": late.about,
        "minutes": int(late.delay.total_seconds() // 60),
    }
