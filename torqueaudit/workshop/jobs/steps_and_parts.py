"""The rest of the work: steps done or looked at, parts fitted."""

from typing import Any

from torqueaudit.ledger.entry import Draft, Entry
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say, See, Topic
from torqueaudit.model.job.acts import Part
from torqueaudit.model.procedure.part_kinds import as_chosen
from torqueaudit.model.procedure.procedure import Fit, Step
from torqueaudit.model.register.permits import ActName
from torqueaudit.read.words import LOOKED, read_answer
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.again import require_new
from torqueaudit.workshop.jobs.job import live_record
from torqueaudit.workshop.jobs.keys import PART, STEP, no_such
from torqueaudit.workshop.vehicles.visits import arrival


def do_step(workshop: Workshop, job: str, key: str, answer: str, remark: str, say: Say) -> list[Entry]:
    """Record a step done or looked at: yes, no or not applicable; of a look also "in order" or "fault".

    No answer at all is a yes, except of a look. Raises Refused for an unknown step or answer, a look without its
    answer, and a required step that is called not applicable without saying why.
    """
    with refused_if_unreadable():
        answer = read_answer(answer) if answer else ""
    stored = LOOKED.get(answer, answer) or "yes"
    said = {"key": key, "answer": stored, **({"remark": FreeWords(remark)} if remark else {})}

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        procedure = workshop.procedure_of(of)
        known = {step.key: step for step in procedure.steps()}
        if key not in known:
            raise no_such(procedure, f"job {job}", key, STEP, known)
        _require_answer(known[key], answer, remark)
        came = arrival(attempt, of.vehicle, look=known[key].look)
        return [*came, attempt.draft(f"job/{job}", "step_done.2", said)]

    return record(workshop, say, ActName.STEP, f"job/{job}", said, build)


def _require_answer(step: Step, answer: str, remark: str) -> None:
    """A look is never in order for want of an answer, and nothing that is required falls away without a reason."""
    if step.look and not answer:
        raise Refused(f"{step.name}: it is a look, so say what was seen: “in order”, or “fault”", See(Topic.FAULT))
    if answer in LOOKED and not step.look:
        raise Refused(f"{step.name}: it is done and not looked at; answer yes, no or not applicable")
    if answer == "not applicable" and step.required and not step.proves and not remark.strip():
        raise Refused(f"{step.name}: it is required", See(Topic.NOT_APPLICABLE))


def fit(workshop: Workshop, job: str, key: str, part: Part, say: Say) -> list[Entry]:
    """Record a part fitted; what is chosen between words of its kind is stored in the kind's own word.

    Raises Refused for a part the procedure knows nothing of, and for a word that its kind does not know. Asks back what
    was told within minutes.
    """
    if not part.part.strip():
        raise Refused(f"{key}: say what was fitted")
    said: dict[str, Any] = {"key": key, "part": part.part, "new": part.new}
    if part.lot:
        said["lot"] = part.lot
    if part.attributes:
        said["attributes"] = [list(pair) for pair in part.attributes]

    def build(attempt: Attempt) -> list[Draft]:
        of = live_record(attempt, job)
        procedure = workshop.procedure_of(of)
        fits = {fit.key: fit for fit in procedure.fits()}
        known = {*fits, *(name for fastener in procedure.fasteners() for name in fastener.single_use)}
        if key not in known:
            raise no_such(procedure, f"job {job}", key, PART, sorted(known))
        chosen = _chosen(workshop, fits.get(key), part.attributes)
        stored = {**said, "attributes": [list(pair) for pair in chosen]} if chosen else said
        came = arrival(attempt, of.vehicle)
        fitted = attempt.draft(f"job/{job}", "fitted.1", stored)
        require_new(attempt, of, procedure, [fitted])
        return [*came, fitted]

    return record(workshop, say, ActName.FIT, f"job/{job}", said, build)


def _chosen(workshop: Workshop, asked: Fit | None, told: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    """What was told of a part, each choice in the word of its kind. Raises Refused for another word."""
    if asked is None or not asked.kind or not told:
        return told
    owned = workshop.plugins.part_kinds.get(asked.kind)
    if owned is None:
        raise Refused(
            f"{asked.name}: no plugin that is loaded knows what is written down of a “{asked.kind}”",
            See(Topic.PLUGINS_LOADED),
        )
    try:
        return as_chosen(owned.kind, told)
    except ValueError as error:
        raise Refused(f"{asked.name}: {error}") from None
