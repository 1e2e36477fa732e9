"""The second person's look, the foreman's permission, release and hand-over."""

from datetime import date, datetime, timedelta
from typing import Any

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Permission
from torqueaudit.model.job.facts import CheckMethod, FindingKey, MarkState
from torqueaudit.model.job.record import Job, JobRecord
from torqueaudit.model.judged.finding import NEVER_CONCEDED, Finding
from torqueaudit.model.judged.sentences import together
from torqueaudit.model.procedure.procedure import RecheckPlan
from torqueaudit.model.register.distance import distance_text
from torqueaudit.workshop.door.acting import Reading, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.fasteners import standing
from torqueaudit.workshop.jobs import fastener_of, live_record, procedure_of
from torqueaudit.workshop.review import Judged, review, stops


def check(workshop: Workshop, job: str, key: str, method: CheckMethod, why: str, say: Say) -> None:
    """Record the independent check of what stands on a fastener.

    Raises Refused when it is not tightened, when the checker had a hand in it, or when a self re-inspection gives no
    reason.
    """
    if method is CheckMethod.SELF and not why.strip():
        raise Refused("a self re-inspection says why nobody else could look")
    said = {"method": method.value, **({"why": why} if why else {})}

    def build(reading: Reading) -> list[Draft]:
        reading.person("mechanic", "foreman")
        of = live_record(reading, job)
        _, positions = fastener_of(workshop, of, key)
        drafts = []
        for position in positions:
            done = standing(of, position, reading.happened_at)
            if method is not CheckMethod.SELF and say.by in of.hands_on(position):
                raise Refused(
                    f"{position}: {say.by} had a hand in it, and nobody checks their own work; somebody else looks"
                )
            if method is CheckMethod.MARK_SEEN and of.current(position).mark_state is not MarkState.INTACT:
                raise Refused(f"{position}: no whole mark is recorded, so none was seen; mark it first")
            drafts.append(
                reading.draft(f"job/{job}", "checked.1", {"position": position, **said}, {"of": done.noted.entry})
            )
        return drafts

    record(workshop, say, "check", f"job/{job}/{key}", said, build)


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

    def build(reading: Reading) -> list[Draft]:
        reading.person("foreman")
        of = live_record(reading, job)
        found = _standing_finding(workshop, of, permission)
        if say.by in _hands_of(workshop, of, found):
            raise Refused(f"{found.subject}: {say.by} had a hand in it; nobody concedes their own tightening")
        if permission.expires_on < workshop.today():
            raise Refused(f"{permission.expires_on}: a concession that has expired permits nothing; give a later day")
        words = {key: value for key, value in said.items() if key not in ("rule", "subject")}
        return [reading.draft(f"job/{job}", "conceded.1", {**words, "finding": plain_key(found.key)})]

    record(workshop, say, "concede", f"job/{job}", said, build)


def release(workshop: Workshop, job: str, say: Say) -> None:
    """Record the permission to hand over, with the findings that were shown. Refused while a stop stands."""

    def build(reading: Reading) -> list[Draft]:
        reading.person("foreman")
        of = live_record(reading, job)
        if of.release:
            raise Refused(
                f"job {job} is released already (entry {of.release.noted.entry}); strike that to release anew"
            )
        judged = judge(workshop, of)
        standing_stops = stops(judged)
        if standing_stops:
            told = [f"  {each.says}" for each in together(standing_stops)]
            raise Refused("\n".join([f"job {job} cannot be released while {len(told)} stop(s) stand:", *told]))
        shown = [plain_key(each.finding.key) for each in judged]
        return [reading.draft(f"job/{job}", "released.1", {}, {"shown": shown})]

    record(workshop, say, "release", f"job/{job}", {}, build)


def hand_over(workshop: Workshop, job: str, odometer_m: int, say: Say) -> None:
    """Record that the vehicle left, released or not; the re-check counts from here."""

    def build(reading: Reading) -> list[Draft]:
        reading.person("mechanic", "foreman")
        of = live_record(reading, job)
        if of.hand_over:
            raise Refused(f"job {job} was handed over on {workshop.local_day(of.hand_over.noted.happened_at)} already")
        require_forward(of, odometer_m, reading.happened_at)
        if of.facts and reading.happened_at < of.facts[-1].noted.happened_at:
            raise Refused(f"job {job}: work is recorded after that time, so the vehicle had not left; look at the date")
        day = workshop.local_day(reading.happened_at)
        judged = due(procedure_of(workshop, of).recheck, day, odometer_m)
        judged["stops"] = [plain_key(finding.key) for finding in stops(judge(workshop, of))]
        return [reading.draft(f"job/{job}", "handed_over.1", {"odometer_m": odometer_m}, judged)]

    record(workshop, say, "hand over", f"job/{job}", {"odometer_m": odometer_m}, build)


def require_forward(of: JobRecord, odometer_m: int, at: datetime) -> None:
    """An odometer counts up; a smaller figure is a slip of the pen, and would hide that a re-check is due."""
    before = [(metres, when) for when, metres, _ in of.odometers() if when <= at]
    if before and odometer_m < max(before)[0]:
        most, when = max(before)
        read, least = distance_text(odometer_m), distance_text(most)
        raise Refused(f"{read} is less than the {least} read on {when:%Y-%m-%d}; read the odometer again")


def due(plan: RecheckPlan | None, day: date, odometer_m: int) -> dict[str, Any]:
    """When the look after the first ride is due, by day and by odometer in metres."""
    judged: dict[str, Any] = {}
    if plan and plan.days is not None:
        judged["due_on"] = (day + timedelta(days=plan.days)).isoformat()
    if plan and plan.distance_m is not None:
        judged["due_distance_m"] = odometer_m + int(plan.distance_m)
    return judged


def judge(workshop: Workshop, of: JobRecord) -> list[Judged]:
    """Every finding on a record as it stands."""
    job = Job(of, procedure_of(workshop, of))
    return review(job, workshop.around(job), workshop.plugins)


def plain_key(key: FindingKey) -> dict[str, Any]:
    """A finding's key as entries hold it."""
    return {"rule": key.rule, "subject": key.subject, "entry": key.entry}


def _hands_of(workshop: Workshop, of: JobRecord, finding: Finding) -> frozenset[str]:
    """Who had a hand in the fasteners that a finding speaks of."""
    fasteners = procedure_of(workshop, of).fasteners()
    about = [p for f in fasteners for p in f.positions if finding.subject in (f.name, f.name_of(p))]
    return frozenset().union(*(of.hands_on(position) for position in about))


def _standing_finding(workshop: Workshop, of: JobRecord, permission: Permission) -> Finding:
    for finding in stops(judge(workshop, of)):
        if (finding.rule, finding.subject) == (permission.rule, permission.subject):
            if finding.rule in NEVER_CONCEDED:
                raise Refused(f"{finding.subject}: no permission makes this right. {finding.says}")
            return finding
    raise Refused(
        f"{permission.rule} on {permission.subject}: no such stop stands on job {of.number}; `job show` lists them"
    )
