"""`torqueaudit scan`: reads the label in a photo, names its record, and says when to print a new one."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from torqueaudit.plugin.commands import Seen, Workshop


@click.command()
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def scan(*, file: Path, as_json: bool) -> None:
    """Read the label in a photo FILE (JPEG, PNG, WebP): which record it opens, and how worn it is.

    With a book named, the record is the number of the job, wrench or person; without one the token or number as read.
    """
    from torqueaudit.plugin.commands import MOST_BYTES, NotRead, read_photo

    try:
        with file.open("rb") as photo:
            seen = read_photo(photo.read(MOST_BYTES + 1))
    except (NotRead, OSError) as error:
        raise click.ClickException(f"{file}: {error}") from error
    answer = _answer(seen)
    if as_json:
        click.echo(json.dumps(answer, indent=2))
        return
    click.echo(f"{_of(answer, seen)} ({seen.address})")
    click.echo(_state(seen))


def _state(seen: "Seen") -> str:
    """Whether the label is good, and why not."""
    if seen.copy_lost:
        return "Print a new label: one of its two symbols cannot be read."
    if seen.unused is None:
        return "Print a new label: how much of its error correction is unused cannot be told from this photo."
    left = f"{seen.unused:.0%} of its error correction is unused"
    if seen.worn:
        return f"Only {left}: if a sharp photo from near says so too, print a new label."
    if seen.symbols > 1:
        return f"The label is good: both symbols are read, and {left} where it is more."
    return f"The symbol is good: {left}. If the label has two, the other one was not seen: print a new label."


def _answer(seen: "Seen") -> dict[str, Any]:
    """What was read; `record` is a job's number, as `job list --json` gives it, or a wrench's, or a person's."""
    from torqueaudit.plugin import JOB, PERSON, WRENCH

    path = click.get_current_context().find_root().obj
    record: str | int = seen.key if seen.way == JOB else seen.key.upper()
    if path is not None:
        number = _number(path, seen)
        record = int(number) if seen.way == JOB else number
    return {
        "record": record,
        "unused_error_correction": None if seen.unused is None else round(seen.unused, 3),
        "print_new_label": seen.worn,
        "symbols_read": seen.symbols,
        "copy_lost": seen.copy_lost,
        "of": {JOB: "job", WRENCH: "wrench", PERSON: "person"}[seen.way],
        "address": seen.address,
    }


def _number(path: Path, seen: "Seen") -> str:
    from torqueaudit.plugin import JOB, is_own
    from torqueaudit.plugin.commands import another, open_workshop, record_of

    with open_workshop(path) as workshop:
        number = record_of(workshop, seen.way, seen.key)
        own = is_own(workshop.settings, seen.address)
        outlived = _outlived(workshop, number) if number and seen.way == JOB else ""
    if number is None:
        raise click.ClickException(f"the label says {seen.address}, and {path} holds no record under it")
    if not own and seen.way != JOB:
        raise click.ClickException(another(seen.address, seen.way))
    if not own:
        click.echo(f"{another(seen.address)}; the record of the same number here is shown", err=True)
    if outlived:
        click.echo(outlived, err=True)
    return number


def _outlived(workshop: "Workshop", number: str) -> str:
    """Why the label of a job ought not to be on the vehicle any more."""
    from torqueaudit.plugin.commands import show_job

    view = show_job(workshop, number)
    if view.withdrawn:
        return f"job {number} was withdrawn ({view.withdrawn}): take its label off"
    return f"job {number} was followed by job {view.followed_by[-1]}: take its label off" if view.followed_by else ""


def _of(answer: dict[str, Any], seen: "Seen") -> str:
    named = isinstance(answer["record"], int) or answer["of"] != "job"
    return f"{answer['of']} {answer['record']}" if named else f"token {seen.key}"
