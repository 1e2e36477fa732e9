"""Procedures: entered once, and read against their source by a second person before first use."""

from pathlib import Path

from torqueaudit.ledger.entry import Draft
from torqueaudit.model.procedure import digest
from torqueaudit.model.procedure_file import read_procedure
from torqueaudit.model.procedure_values import ProcedureMistakes
from torqueaudit.model.subjects import fold_procedure
from torqueaudit.workshop.acting import Reading, Refused, Say, record
from torqueaudit.workshop.workshop import Workshop


def enter_procedure(workshop: Workshop, path: Path, say: Say) -> str:
    """Enter a procedure from its file; returns its digest. The same text again changes nothing.

    Raises Refused with every mistake, its file, line and key.
    """
    try:
        text = path.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        raise Refused(f"{path}: cannot be read ({error})") from None
    try:
        procedure = read_procedure(text, workshop.plugins.units, workshop.own_tolerance)
    except ProcedureMistakes as mistakes:
        told = "\n".join(f"{path}:{mistake}" for mistake in mistakes.mistakes)
        raise Refused(f"the procedure was not entered:\n{told}") from None
    subject = f"procedure/{digest(text)}"
    if workshop.book.entries(subject):
        return digest(text)

    def build(reading: Reading) -> list[Draft]:
        reading.person("foreman", "mechanic")
        reading.expect[subject] = 0
        return [reading.draft(subject, "entered.1", {"text": text}, {"procedure": procedure.to_plain()})]

    record(workshop, say, "enter procedure", "procedure", {"text": text}, build)
    return digest(text)


def read_against_source(workshop: Workshop, start: str, remark: str, say: Say) -> None:
    """Record that a second person read every value against its source.

    Raises Refused for whoever entered it, save in a single-handed workshop on a later day.
    """
    full = workshop.full_digest(start)
    said = {"remark": remark} if remark else {}

    def build(reading: Reading) -> list[Draft]:
        reading.person("mechanic", "foreman")
        entries = reading.entries(f"procedure/{full}")
        in_book = fold_procedure(entries)
        if in_book.entered_by == say.by:
            _require_another_day(workshop, reading, entries[0].happened_at[:10])
        return [reading.draft(f"procedure/{full}", "read.1", said)]

    record(workshop, say, "read procedure", f"procedure/{full}", said, build)


def _require_another_day(workshop: Workshop, reading: Reading, entered_on: str) -> None:
    if not workshop.settings.single_handed:
        raise Refused(f"{reading.say.by} entered this procedure; somebody else reads it against its source")
    if reading.happened_at.date().isoformat() <= entered_on:
        raise Refused("a single-handed workshop reads a procedure again on another day than it was entered")
