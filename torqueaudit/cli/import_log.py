"""`torqueaudit import`: what an electronic torque wrench has logged."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import json_option, print_json, said_by, workshop_here
from torqueaudit.cli.rows_file import (
    FILE,
    data_of,
    is_wanted,
    left_told,
    meaning_of,
    previewed,
    rows_options,
    write_left,
)

if TYPE_CHECKING:
    from torqueaudit.workshop.jobs.logs import LogLook


@click.command("import")
@rows_options
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
            rows = [(each.row.line, each.becomes, each.says) for each in look.rows]
            click.echo("\n".join(previewed(file, rows, Becomes.ENTERED)))
        new = look.those(Becomes.ENTERED)
        recorded = (
            bool(new) and not show and (yes or (not as_json and is_wanted(len(new), ", for somebody to confirm")))
        )
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
        yield from left_told(f"{len(look.those(Becomes.LEFT))} left out", left, "import", mapping)
