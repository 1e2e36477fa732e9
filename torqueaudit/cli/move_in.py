"""`torqueaudit move-in`: vehicles with their owners, or wrenches, from a list of a workshop's own."""

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
    from torqueaudit.workshop.move_in.rows import ListLook


@click.command("move-in")
@rows_options
@click.option("--without-wrong", is_flag=True, help="Enter the others although rows are wrong; these are listed.")
@click.option("--left", type=FILE, help="Where the wrong rows are listed then. Default: beside FILE.")
@json_option
def move_in(
    *, file: Path, mapping: Path, by: str, left: Path | None, show: bool, yes: bool, without_wrong: bool, as_json: bool
) -> None:
    """Enter vehicles with their owners, or wrenches, from a list: FILE is CSV, .xlsx, or JSON lines.

    First each row is shown with what it would enter, and nothing is recorded before you say so. A row that is wrong
    stops the whole list; --without-wrong enters the others, and lists the wrong ones with line and why in a file to be
    mended and read again. A row that is there already adds nothing, however often it is read. The exit code is 1 where
    a row is wrong. By a foreman, or setup.
    """
    from torqueaudit.model.move_in.mapping import read_move_mapping  # slow, and few commands read a list
    from torqueaudit.workshop.move_in.move_in import enter_list, look_at_list
    from torqueaudit.workshop.move_in.rows import Comes

    with workshop_here() as workshop:
        meaning = meaning_of(mapping, lambda text: read_move_mapping(text, workshop.plugins.units))
        say = said_by(workshop, by)
        look = look_at_list(workshop, file.name, data_of(file), meaning, say)
        if not as_json:
            rows = [(each.row.line, each.comes, each.says) for each in look.rows]
            click.echo("\n".join(previewed(file, rows, Comes.ENTERED)))
        new, stopped = look.those(Comes.ENTERED), bool(look.those(Comes.WRONG)) and not without_wrong
        recorded = bool(new) and not (show or stopped) and (yes or (not as_json and is_wanted(len(new))))
        if recorded:
            look = enter_list(workshop, look, say, without_wrong=without_wrong)
    wrong = [(each.row, each.says) for each in look.those(Comes.WRONG)]
    listed = recorded or (without_wrong and not (new or show))
    written = write_left(file, left, look.columns, wrong, meaning.file, meaning.decimal or ".") if listed else None
    if as_json:
        from torqueaudit.reports.json.move_in import list_json  # as above

        print_json(list_json(look, recorded=recorded, left=written))
    elif not show:
        click.echo("\n".join(_told(look, written, mapping, stopped=stopped)))
    if wrong:
        click.get_current_context().exit(1)


def _told(look: "ListLook", left: Path | None, mapping: Path, *, stopped: bool) -> Iterator[str]:
    """What was entered, and what to do about what was not."""
    from torqueaudit.workshop.move_in.rows import Comes

    entered = [] if stopped else [each.number for each in look.those(Comes.ENTERED)]
    wrong = len(look.those(Comes.WRONG))
    if entered:
        yield f"{len(entered)} entered: {entered[0]}{f' to {entered[-1]}' if len(entered) > 1 else ''}."
    elif stopped:
        rows = "the wrong row" if wrong == 1 else f"the {wrong} wrong rows"
        yield f"Nothing was entered. Mend {rows} in the list and read it again, or say --without-wrong."
    else:
        yield "Nothing was entered, for nothing in it is new." if not wrong else "Nothing was entered."
    if left:
        yield from left_told(f"{wrong} wrong", left, "move-in", mapping)
