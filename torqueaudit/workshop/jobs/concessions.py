"""The foreman's written permission in spite of one finding."""

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.acts import Permission
from torqueaudit.model.job.facts import plain_key
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.rule_name import rules_meant
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.judged.review import judge, stops


def concede(workshop: Workshop, job: str, permission: Permission, say: Say) -> None:
    """Record the foreman's written permission in spite of one finding that stands now.

    Raises Refused when no such finding stands, when no permission makes it right, or when it is the foreman's own work.
    """
    said = {
        "rule": permission.rule,
        "subject": permission.subject,
        "basis": permission.basis,
        "limit": permission.limit,
        "expires_on": permission.expires_on.isoformat(),
    }
    if not permission.basis.strip() or not permission.limit.strip():
        raise Refused("a concession says its technical basis and its limit")

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        found = _standing_finding(workshop, of, permission)
        if say.by in _hands_of(workshop, of, found):
            raise Refused(f"{found.subject}: {say.by} had a hand in it; nobody concedes their own tightening")
        if permission.expires_on < workshop.today():
            raise Refused(f"{permission.expires_on}: a concession that has expired permits nothing; give a later day")
        words = {key: value for key, value in said.items() if key not in ("rule", "subject")}
        return [attempt.draft(f"job/{job}", "conceded.1", {**words, "finding": plain_key(found.key)})]

    record(workshop, say, ActName.CONCEDE, f"job/{job}", said, build)


def _hands_of(workshop: Workshop, of: JobRecord, finding: Finding) -> frozenset[str]:
    """Who had a hand in the fasteners that a finding speaks of."""
    fasteners = workshop.procedure_of(of).fasteners()
    about = [p for f in fasteners for p in f.positions if finding.subject in (f.name, f.name_of(p))]
    return frozenset().union(*(of.hands_on(position) for position in about))


def _standing_finding(workshop: Workshop, of: JobRecord, permission: Permission) -> Finding:
    """The stop that a permission names, its rule with its plugin's name or without it."""
    standing = {each.rule: each for each in reversed(stops(judge(workshop, of))) if each.subject == permission.subject}
    meant = rules_meant(permission.rule, reversed(standing))
    named = f"{permission.rule} on {permission.subject}"
    if not meant:
        raise Refused(f"{named}: no such stop stands on job {of.number}", See(Topic.STOPS_OF_JOB))
    if len(meant) > 1:
        raise Refused(f"{named}: two plugins have a rule of that name; say {' or '.join(meant)}")
    finding = standing[meant[0]]
    if not finding.concedable:
        raise Refused(f"{finding.subject}: no permission makes this right. {finding.says}")
    return finding
