"""Procedures: entered once, and read against their source by a second person before first use."""

from collections.abc import Callable
from functools import partial
from pathlib import Path

from torqueaudit.ledger.entry import Draft
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.photo import name_of
from torqueaudit.model.judged.finding import Remark
from torqueaudit.model.procedure.in_book import digest, fold_procedure
from torqueaudit.model.procedure.normal_form import normal_form
from torqueaudit.model.procedure.picture import Picture
from torqueaudit.model.procedure.procedure import Plain, Procedure, Work
from torqueaudit.model.procedure.toml.file import read_procedure
from torqueaudit.model.procedure.toml.tables import ProcedureTable
from torqueaudit.model.procedure.toml.values import ProcedureMistakes, Table
from torqueaudit.model.register.permits import ActName
from torqueaudit.plugins import Plugins, fault_of
from torqueaudit.plugins.answers import named
from torqueaudit.read.toml_text import read_toml_text
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.review import remarks_on
from torqueaudit.workshop.register.pictures import PicturesBeside, kept_pictures, require_whole


def enter_procedure(workshop: Workshop, path: Path, say: Say) -> str:
    """Enter a procedure from its file, with the pictures beside it that it names; returns its digest.

    The same text with the same pictures again changes nothing, but that a picture is there again that was lost. Raises
    Refused with every mistake, its file, line and key; BookError where the disk does not take a picture.
    """
    try:
        text = read_toml_text(path)
    except ValueError as error:
        raise Refused(str(error)) from None
    return enter_text(workshop, text, path, say)


def enter_text(workshop: Workshop, text: str, path: Path, say: Say) -> str:
    """Enter a procedure from its text, which mistakes are told of by the path of its file; returns its digest.

    The pictures that it names lie beside that path. Raises what `enter_procedure` raises.
    """
    beside = PicturesBeside(path.parent, partial(kept_pictures, workshop))
    procedure = _read(workshop, path, text, beside)
    pictures = procedure.pictures()
    full = digest(text, pictures)
    subject = f"procedure/{full}"
    if workshop.book.entries(subject):
        beside.keep(workshop.book.path)
        return full
    shown: list[Plain] = [[each.file, each.digest] for each in pictures]
    said: dict[str, Plain] = {"text": text, **({"pictures": shown} if shown else {})}

    def build(attempt: Attempt) -> list[Draft]:
        attempt.expect[subject] = 0
        beside.keep(workshop.book.path)
        return [attempt.draft(subject, "entered.1", said, {"procedure": normal_form(procedure)})]

    record(workshop, say, ActName.ENTER_PROCEDURE, "procedure", said, build)
    beside.keep_lost(workshop.book.path)
    return full


def procedure_in(workshop: Workshop, text: str, beside: PicturesBeside) -> Procedure:
    """The procedure in a text. Raises ProcedureMistakes; Refused for a plugin that breaks."""
    tables, plugins = _plugin_tables(workshop.plugins), workshop.plugins
    kinds, part_kinds = plugins.kinds, plugins.part_kinds
    return read_procedure(text, plugins.units, workshop.own_tolerance, tables, kinds, part_kinds, beside.picture_in)


def _read(workshop: Workshop, path: Path, text: str, beside: PicturesBeside) -> Procedure:
    """The procedure in a text. Raises Refused with every mistake."""
    try:
        return procedure_in(workshop, text, beside)
    except ProcedureMistakes as mistakes:
        told = "\n".join(f"{path}:{mistake}" for mistake in mistakes.mistakes)
        raise Refused(f"the procedure was not entered:\n{told}") from None


def read_against_source(workshop: Workshop, start: str, remark: str, say: Say) -> None:
    """Record that a second person read every value against its source, and looked at every picture.

    Raises Refused for whoever entered it, save in a single-handed workshop on a later day, and where a picture is lost.
    """
    full = workshop.full_digest(start)
    said = {"remark": FreeWords(remark)} if remark else {}

    def build(attempt: Attempt) -> list[Draft]:
        entries = attempt.entries(f"procedure/{full}")
        in_book = fold_procedure(entries)
        if in_book.entered_by == say.by:
            _require_another_day(workshop, attempt, entries[0].happened_at[:10])
        require_whole(workshop, in_book.procedure)
        return [attempt.draft(f"procedure/{full}", "read.2", said)]

    record(workshop, say, ActName.READ_PROCEDURE, f"procedure/{full}", said, build)


def remarks_of(workshop: Workshop, start: str) -> tuple[Remark, ...]:
    """What rules say today of a procedure's values. Raises Refused for an unknown one."""
    return tuple(remarks_on(workshop.procedure(workshop.full_digest(start)).procedure, workshop.plugins))


def pictures_of(workshop: Workshop, start: str) -> tuple[tuple[Picture, Path], ...]:
    """The pictures of a procedure, each with the file it is kept in. Raises Refused for an unknown one."""
    named = workshop.procedure(workshop.full_digest(start)).procedure.pictures()
    return tuple((each, workshop.book.photos / name_of(each.digest)) for each in named)


def _plugin_tables(plugins: Plugins) -> list[ProcedureTable]:
    """The tables that plugins look at. Raises Refused for a plugin that breaks: its table would go in unseen."""
    tables: list[ProcedureTable] = []
    for plugin, given, fault in plugins.tables():
        if fault:
            raise _broken(plugin, named(fault)) from fault
        tables += [each._replace(look_at=_alone(plugin, each)) for each in given]
    return tables


def _alone(plugin: str, owned: ProcedureTable) -> Callable[[Table, tuple[Work, ...]], None]:
    """What looks at a plugin's table, so that its faults are told by its name."""

    def look_at(table: Table, work: tuple[Work, ...]) -> None:
        try:
            owned.look_at(table, work)
        except (Exception, SystemExit) as error:  # whatever a plugin raises is told in one sentence
            raise _broken(plugin, named(fault_of(error))) from error

    return look_at


def _broken(plugin: str, fault: str) -> Refused:
    says = f"the procedure was not entered: plugin {plugin} broke while it looked at its tables ({fault})"
    return Refused(f"{says}; mend it, or block it")


def _require_another_day(workshop: Workshop, attempt: Attempt, entered_on: str) -> None:
    if not workshop.settings.single_handed:
        raise Refused(f"{attempt.say.by} entered this procedure; somebody else reads it against its source")
    if attempt.happened_at.date().isoformat() <= entered_on:
        raise Refused("a single-handed workshop reads a procedure again on another day than it was entered")
