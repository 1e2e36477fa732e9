"""The foreman's written permission in spite of one finding."""

from collections.abc import Iterable

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.acts import Permission
from torqueaudit.model.job.noted import plain_key
from torqueaudit.model.job.record import JobRecord
from torqueaudit.model.judged.finding import Finding
from torqueaudit.model.judged.rule_name import name_among, rules_meant
from torqueaudit.model.register.permits import ActName
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.judged.review import judge, stops


def concede(workshop: Workshop, job: str, permission: Permission, say: Say) -> list[Entry]:
    """Record the foreman's written permission in spite of one finding that stands now; of a group by its key, of each.

    Raises Refused when no such finding stands, when no permission makes it right, or when it is the foreman's own work.
    """
    said = {
        "rule": permission.rule,
        "subject": permission.subject,
        "basis": FreeWords(permission.basis),
        "limit": FreeWords(permission.limit),
        "expires_on": permission.expires_on.isoformat(),
    }
    if not permission.basis.strip() or not permission.limit.strip():
        raise Refused("a concession says its technical basis and its limit")

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        found = _standing_findings(workshop, of, permission)
        for each in found:
            if say.by in _hands_of(workshop, of, each):
                raise Refused(f"{each.subject}: {say.by} had a hand in it; nobody concedes their own tightening")
        if permission.expires_on < workshop.today():
            raise Refused(f"{permission.expires_on}: a concession that has expired permits nothing; give a later day")
        words = {key: value for key, value in said.items() if key not in ("rule", "subject")}
        keys = [plain_key(each.key) for each in found]
        return [attempt.draft(f"job/{job}", "conceded.2", {**words, "finding": key}) for key in keys]

    return record(workshop, say, ActName.CONCEDE, f"job/{job}", said, build)


def _hands_of(workshop: Workshop, of: JobRecord, finding: Finding) -> frozenset[str]:
    """Who had a hand in the fasteners that a finding speaks of."""
    fasteners = workshop.procedure_of(of).fasteners()
    about = [p for f in fasteners for p in f.positions if finding.subject in (f.name, f.name_of(p))]
    return frozenset().union(*(of.hands_on(position) for position in about))


def _standing_findings(workshop: Workshop, of: JobRecord, permission: Permission) -> list[Finding]:
    """The stop that a permission names, its rule with its plugin's name or without it; by a group's key one for each.

    Of several that one rule says of one subject it is the first.
    """
    standing = stops(judge(workshop, of))
    about = [each for each in standing if permission.subject in _names_of(each)]
    meant = rules_meant(permission.rule, (each.rule for each in about))
    named = f"{permission.rule} on {permission.subject}"
    if not meant:
        raise _no_such_stop(named, of.number, standing)
    if len(meant) > 1:
        raise Refused(f"{named}: two plugins have a rule of that name; say {' or '.join(meant)}")
    found = list({each.subject: each for each in reversed(about) if each.rule == meant[0]}.values())[::-1]
    for each in found:
        if not each.concedable:
            raise Refused(f"{each.subject}: no permission makes this right. {each.says}")
    return found


def _names_of(finding: Finding) -> frozenset[str]:
    """What a finding's subject may be called: as it is printed, or by the key or the position that every act takes."""
    about = finding.about
    return frozenset({about.text, about.name, about.key, about.position} - {""})


def _no_such_stop(named: str, job: str, standing: list[Finding]) -> Refused:
    """Which stops do stand, by the names that a permission takes: first those that it makes right."""
    says = f"{named}: no such stop stands on job {job}"
    if not standing:
        return Refused(f"{says}, nor any other, so nothing needs a permission")
    for heading, so in (("A permission may be given for", True), ("None makes right", False)):
        if listed := [each for each in standing if each.concedable is so]:
            says += f". {heading}: {_listed(listed, standing)}"
    return Refused(says, See(Topic.STOPS_OF_JOB, job))


def _listed(findings: Iterable[Finding], standing: list[Finding]) -> str:
    """Rules with what each is about: "not-marked on rear-axle-nut, sprocket-bolt-3; late-part on “chain clip”"."""
    rules = [each.rule for each in standing]
    about: dict[str, dict[str, None]] = {}
    for each in findings:
        name = each.about.position or each.about.key or each.about.text
        about.setdefault(name_among(each.rule, rules), {})[f"“{name}”" if " " in name else name] = None
    return "; ".join(f"{rule} on {', '.join(names)}" for rule, names in about.items())
