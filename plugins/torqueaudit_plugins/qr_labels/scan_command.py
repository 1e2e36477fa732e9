"""`torqueaudit scan`: reads the label in a photo, names its record, and says when to print a new one."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from torqueaudit.photo import Seen


@click.command()
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--json", "as_json", is_flag=True, help="Print JSON.")
def scan(*, file: Path, as_json: bool) -> None:
    """Read the label in a photo FILE (JPEG, PNG, WebP): which record it opens, and how worn it is.

    With a book named, the record is the number of the job or wrench; without one it is the token or number as read.
    """
    from torqueaudit.photo import MOST_BYTES, NotRead, read_photo

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
    left = f"{seen.unused:.0%} of its error correction is unused"
    click.echo(f"Print a new label: only {left}." if seen.worn else f"The label is good: {left}.")


def _answer(seen: "Seen") -> dict[str, Any]:
    """What was read; `record` is a job's number, as `job list --json` gives it, or a wrench's."""
    from torqueaudit.model.label import JOB, WRENCH

    path = click.get_current_context().find_root().obj
    record: str | int = seen.key.upper() if seen.way == WRENCH else seen.key
    if path is not None:
        number = _number(path, seen)
        record = int(number) if seen.way == JOB else number
    return {
        "record": record,
        "unused_error_correction": round(seen.unused, 3),
        "print_new_label": seen.worn,
        "of": "job" if seen.way == JOB else "wrench",
        "address": seen.address,
    }


def _number(path: Path, seen: "Seen") -> str:
    from torqueaudit.workshop.finding_jobs import record_of
    from torqueaudit.workshop.opening import open_workshop

    with open_workshop(path) as workshop:
        number = record_of(workshop, seen.way, seen.key)
    if number is None:
        raise click.ClickException(f"the label says {seen.address}, and {path} holds no record under it")
    return number


def _of(answer: dict[str, Any], seen: "Seen") -> str:
    named = isinstance(answer["record"], int) or answer["of"] == "wrench"
    return f"{answer['of']} {answer['record']}" if named else f"token {seen.key}"
