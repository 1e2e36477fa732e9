"""`torqueaudit import`: what an electronic torque wrench has logged."""

from collections.abc import Iterator
from pathlib import Path
from shlex import join
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import json_option, print_json, said_by, workshop_here
from torqueaudit.cli.rows_file import FILE, data_of, meaning_of, write_left
from torqueaudit.cli.values import PERSON
from torqueaudit.signs import seen

if TYPE_CHECKING:
    from torqueaudit.workshop.jobs.logs import LogLook


@click.command("import")
@click.argument("file", type=FILE)
@click.option("--mapping", type=FILE, required=True, help="A TOML file that says what its columns mean.")
@click.option(
    "--by", required=True, type=PERSON, envvar="TORQUEAUDIT_BY", help="Your number, such as P-3 (TORQUEAUDIT_BY)."
)
@click.option("--show", is_flag=True, help="Show what each row would do, and record nothing.")
@click.option("--yes", is_flag=True, help="Enter the rows without being asked.")
@click.option("--left", type=FILE, help="Where the rows that are left out are listed. Default: beside FILE.")
@json_option
def import_log(file: Path, mapping: Path, by: str, left: Path | None, *, show: bool, yes: bool, as_json: bool) -> None:
    """Read what an electronic torque wrench has logged: FILE is CSV, .xlsx, or JSON lines.

    First each row is shown with what it would do, and nothing is recorded before you say so. A row that is entered
    stands as a stop on its fastener until somebody confirms it. What is left out is listed with its line and why, in a
    file to be mended and read again; the exit code is then 1. The same row is entered once, however often it is read.
    """
    from torqueaudit.model.log.mapping import read_mapping  # slow, and few commands read a log
    from torqueaudit.workshop.jobs.logs import Becomes, enter_logged, look_at_log

    with workshop_here() as workshop:
        meaning = meaning_of(mapping, lambda text: read_mapping(text, workshop.plugins.units))
        say = said_by(workshop, by)
        look = look_at_log(workshop, file.name, data_of(file), meaning, say)
        if not as_json:
            click.echo("\n".join(_previewed(file, look)))
        new = look.those(Becomes.ENTERED)
        recorded = bool(new) and not show and (yes or (not as_json and _is_wanted(len(new))))
        if recorded:
            look = enter_logged(workshop, look, say)
    done = recorded or not (new or show)
    left_out = [(each.row, each.says) for each in look.those(Becomes.LEFT)]
    written = write_left(file, left, look.columns, left_out, meaning.file, meaning.decimal) if done else None
    if as_json:
        from torqueaudit.reports.json.log import log_json  # as above

        print_json(log_json(look, recorded=recorded, left=written))
    elif done:
        click.echo("\n".join(_told(look, written, mapping)))
    if left_out:
        click.get_current_context().exit(1)


def _previewed(file: Path, look: "LogLook") -> Iterator[str]:
    """Each row with what comes of it, then how many of each."""
    from torqueaudit.workshop.jobs.logs import Becomes

    for each in look.rows:
        what = "" if each.becomes is Becomes.ENTERED else f"{each.becomes.value.upper()}: "
        yield seen(f"line {each.row.line}: {what}{each.says}")
    counted = {becomes: len(look.those(becomes)) for becomes in Becomes}
    told = ", ".join(f"{many} {'to be ' * (each is Becomes.ENTERED)}{each}" for each, many in counted.items() if many)
    yield f"{file}: {told or 'no row'}"


def _is_wanted(many: int) -> bool:
    """Whether whoever is asked says yes. Raises Abort where they do not."""
    rows = "this row" if many == 1 else f"these {many} rows"
    return click.confirm(f"Nothing is recorded yet. Enter {rows}, for somebody to confirm?", abort=True)


def _told(look: "LogLook", left: Path | None, mapping: Path) -> Iterator[str]:
    """What was entered and who has to confirm it, then what was not."""
    from torqueaudit.workshop.jobs.logs import Becomes

    entered = look.those(Becomes.ENTERED)
    if entered:
        yield f"{len(entered)} entered. Each is a stop until whoever tightened it confirms it:"
        for job, position in dict.fromkeys((each.job, each.said["position"]) for each in entered):
            yield f"  torqueaudit fastener confirm {job} {position} --by P-…"
    else:
        yield "Nothing was entered."
    if left:
        many = len(look.those(Becomes.LEFT))
        yield f"{many} left out, each with its line and why: {left}"
        again = join(("torqueaudit", "import", str(left), "--mapping", str(mapping)))
        yield seen(f"  Mend it there, and read it: {again} --by P-…")
