"""Files of rows at the command line: what is asked, the file and its mapping read, what is shown, what is left out."""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from enum import StrEnum
from itertools import count
from pathlib import Path
from shlex import join
from typing import TYPE_CHECKING, Any, TypeVar

import click

from torqueaudit.book.flushing import write_whole
from torqueaudit.cli.common import who_option
from torqueaudit.signs import seen

if TYPE_CHECKING:
    from torqueaudit.model.log.rows import LogRow
    from torqueaudit.model.log.told import FileForm

FILE = click.Path(path_type=Path, dir_okay=False)
C = TypeVar("C", bound=Callable[..., Any])
M = TypeVar("M")


def rows_options(command: C) -> C:
    """The file and its mapping, who has it read, and whether anything is recorded and anybody asked."""
    for option in reversed(
        (
            click.argument("file", type=FILE),
            click.option("--mapping", type=FILE, required=True, help="A TOML file that says what its columns mean."),
            who_option,
            click.option("--show", is_flag=True, help="Show what each row would do, and record nothing."),
            click.option("--yes", is_flag=True, help="Enter the rows without being asked."),
        )
    ):
        command = option(command)
    return command


def meaning_of(file: Path, reader: Callable[[str], M]) -> M:
    """What a mapping says. Raises ClickException with every mistake, its file, line and key."""
    from torqueaudit.read.toml_text import read_toml_text  # slow, and few commands read one

    try:
        text = read_toml_text(file)
    except ValueError as error:
        raise click.ClickException(str(error)) from None
    try:
        return reader(text)
    except ValueError as mistakes:
        told = "\n".join(f"{file}:{mistake}" for mistake in str(mistakes).split("\n"))
        raise click.ClickException(f"nothing was read, for the mapping is to be mended:\n{told}") from None


def data_of(file: Path) -> bytes:
    """What a file holds, and no more of it than shows that it is too large. Raises ClickException."""
    from torqueaudit.workshop.door.rows import MOST_BYTES  # slow, and few commands read one

    try:
        with file.open("rb") as opened:
            return opened.read(MOST_BYTES + 1)
    except OSError as error:
        raise click.ClickException(f"{file} cannot be read: {error.strerror}; look at its name") from None


def previewed(file: Path, rows: Sequence[tuple[int, StrEnum, str]], entered: StrEnum) -> Iterator[str]:
    """Each row, by its line, with what comes of it, then how many of each; `entered` is of those to be entered."""
    for line, comes, says in rows:
        what = "" if comes is entered else f"{comes.upper()}: "
        yield seen(f"line {line}: {what}{says}")
    counted = Counter(comes for _, comes, _ in rows)
    told = (f"{counted[each]} {'to be ' * (each is entered)}{each}" for each in type(entered) if counted[each])
    yield f"{file}: {', '.join(told) or 'no row'}"


def is_wanted(many: int, behind: str = "") -> bool:
    """Whether whoever is asked says yes; `behind` ends the question. Raises Abort where they do not."""
    rows = "this row" if many == 1 else f"these {many} rows"
    return click.confirm(f"Nothing is recorded yet. Enter {rows}{behind}?", abort=True)


def left_told(many: str, left: Path, command: str, mapping: Path) -> Iterator[str]:
    """Where so many rows are listed ("2 wrong"), and the command that reads them once they are mended."""
    yield f"{many}, each with its line and why: {left}"
    again = join(("torqueaudit", command, str(left), "--mapping", str(mapping)))
    yield seen(f"  Mend it there, and read it: {again} --by P-…")


def write_left(
    file: Path,
    left: Path | None,
    columns: Sequence[str],
    rows: "Sequence[tuple[LogRow, str]]",
    form: "FileForm",
    decimal: str,
) -> Path | None:
    """List what is left out in a file of its own, which overwrites no other; None where no row is.

    Each row comes with its reason. Raises ClickException.
    """
    if not rows:
        return None
    from torqueaudit.reports.left_out import left_out_csv  # few rows are left out

    data = left_out_csv(columns, rows, form.separator, decimal)
    try:
        target = next(path for path in _names(file, left) if not path.exists() or path.read_bytes() == data)
        write_whole(target, data)
    except StopIteration:
        raise click.ClickException(
            f"{left} is there already; give --left another name, and read the file again"
        ) from None
    except OSError as error:
        says = f"the rows left out cannot be listed ({error.strerror}); give --left a place, and read the file again"
        raise click.ClickException(says) from None
    return target


def _names(file: Path, left: Path | None) -> Iterator[Path]:
    """The name that was given; or else "log-left.csv", "log-left-2.csv" and so on, beside the file."""
    if left:
        yield left
        return
    stem = re.sub(r"-left(-[0-9]+)?$", "", file.stem)
    yield from (file.with_name(f"{stem}-left{f'-{number}' if number > 1 else ''}.csv") for number in count(1))
