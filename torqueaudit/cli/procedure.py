"""`torqueaudit procedure`: documented ways to do the work."""

from collections.abc import Iterable
from pathlib import Path

import click

from torqueaudit.cli.common import Who, json_option, print_json, say_of, who_says, workshop_here
from torqueaudit.model.judged.finding import Remark
from torqueaudit.model.judged.rule_name import name_among
from torqueaudit.reports.json.job import remark_json
from torqueaudit.reports.json.register import change_json, procedure_json
from torqueaudit.workshop.door.lists import procedures
from torqueaudit.workshop.register.procedures import enter_procedure, pictures_of, read_against_source, remarks_of
from torqueaudit.workshop.register.revisions import Revision, compare, revision_of


@click.group()
def procedure() -> None:
    """Documented ways to do the work, from a file of your own."""


@procedure.command("enter")
@click.argument("file", type=click.Path(path_type=Path))
@who_says
@json_option
def enter(*, file: Path, who: Who, as_json: bool) -> None:
    """Enter a procedure; mistakes are told with file, line and key, doubtful values by name.

    The pictures that it names (JPEG or PNG) lie beside the file. What is entered of them is shown by “procedure show”.
    """
    with workshop_here() as workshop:
        digest = enter_procedure(workshop, file, say_of(workshop, who))
        remarks, pictures = remarks_of(workshop, digest), pictures_of(workshop, digest)
        revision = revision_of(workshop, digest)
    if as_json:
        changes = [change_json(each) for each in revision.changes]
        remarked = [remark_json(each) for each in remarks]
        print_json({"procedure": digest, "remarks": remarked, "before": revision.before or None, "changes": changes})
        return
    looks = " and looks at every picture" if pictures else ""
    click.echo(f"{digest[:12]}: entered. Before first use a second person reads every value against its source{looks}.")
    _echo(remarks)
    _echo_changes(revision)


@procedure.command("compare")
@click.argument("old")
@click.argument("new")
@json_option
def compare_two(*, old: str, new: str, as_json: bool) -> None:
    """Show in what NEW differs in meaning from OLD: each value, what is new or gone, and what changed its place.

    Both are digests, or names, of which the latest revision counts. What was only written otherwise is no difference.
    """
    with workshop_here() as workshop:
        changes = compare(workshop, old, new)
    if as_json:
        print_json([change_json(each) for each in changes])
        return
    for each in changes or ("Both say the same.",):
        click.echo(each)


@procedure.command("read")
@click.argument("digest")
@click.option("--remark", default="")
@who_says
def read(*, digest: str, remark: str, who: Who) -> None:
    """Record that you read every value of a procedure against its source, and looked at its pictures."""
    with workshop_here() as workshop:
        read_against_source(workshop, digest, remark, say_of(workshop, who))
        remarks = remarks_of(workshop, digest)
    click.echo(f"{digest}: read against its source by {who.by}")
    _echo(remarks)


@procedure.command("show")
@click.argument("digest")
def show(*, digest: str) -> None:
    """Print a procedure's text as it was entered, and behind it its pictures with their digests and where they lie."""
    with workshop_here() as workshop:
        full = workshop.full_digest(digest)
        text, pictures = workshop.procedure(full).text, pictures_of(workshop, full)
    click.echo(text)
    for picture, file in pictures:
        click.echo(f"# picture {picture.file}: SHA-256 {picture.digest}\n#   {file}")


@procedure.command("list")
@json_option
def list_all(*, as_json: bool) -> None:
    """List every procedure revision."""
    with workshop_here() as workshop:
        rows = procedures(workshop)
    if as_json:
        print_json([procedure_json(row) for row in rows])
        return
    for row in rows:
        read_by = f"read by {row.read_by}" if row.read_by else "not read against its source yet"
        click.echo(f"{row.digest[:12]}  {row.name}, edition {row.edition}: {row.title} ({read_by})")


def _echo_changes(revision: Revision) -> None:
    """What is not as in the revision before, so that whoever typed it sees a slip."""
    if not revision.before:
        return
    count = len(revision.changes)
    click.echo(f"Against {revision.before[:12]}, {count} {'difference' if count == 1 else 'differences'}:")
    for each in revision.changes:
        click.echo(f"  {each}")


def _echo(remarks: Iterable[Remark]) -> None:
    """What is doubtful about the values, while somebody has the document at hand."""
    doubtful = list(remarks)
    rules = [remark.rule for remark in doubtful]
    for remark in doubtful:
        click.echo(f"  {remark.weight.value.upper()}: {remark.says} [{name_among(remark.rule, rules)}]")
