"""`torqueaudit demo`: plays some weeks of an invented workshop into a folder."""

import sys
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import click

STOCK = "a4-3x8"
FAILED = 2
EARLIEST = date(2024, 1, 1)  # the youngest motorcycle of the workshop was built by then


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path, file_okay=False))
@click.option("--on", metavar="DAY", help="The day the weeks lead up to, such as 2026-11-20. Default: today.")
def demo(folder: Path, on: str | None) -> None:
    """Play the last weeks of an invented workshop into DIR: its book, labels, and the nightly report of today.

    Every name and value in it is invented and of no use for any vehicle. The same day gives the same book.
    """
    from torqueaudit_plugins.demo.yard import play_story
    from torqueaudit_plugins.qr_labels.commands.label import print_labels

    day = _day(on)
    if folder.exists() and any(folder.iterdir()):
        raise click.UsageError(f"{folder} is not empty; name a folder that is not there yet")
    folder.mkdir(parents=True, exist_ok=True)
    book, labels, reports = folder / "yard.book", folder / "labels.pdf", folder / "reports"
    views = play_story(book, day)
    context = click.get_current_context()
    context.find_root().obj = book
    numbers = tuple(view.number for view in views)
    context.invoke(print_labels, numbers=numbers, stock_name=STOCK, out=labels)
    _nightly(context, day.isoformat(), reports)
    _tell(folder, day, [(view.number, view.state, view.vehicle_tag, view.token) for view in views])


def _day(typed: str | None) -> date:
    """The day that was typed, or the workshop's today. Raises a usage error for a day before its time or to come."""
    from torqueaudit.plugin.commands import read_day
    from torqueaudit_plugins.demo.yard import SETTINGS

    today = datetime.now(UTC).astimezone(ZoneInfo(str(SETTINGS["zone"]))).date()
    try:
        day = read_day(typed) if typed else today
    except ValueError as error:
        raise click.UsageError(str(error)) from None
    if day > today:
        raise click.UsageError(f"{day} has not come yet; give today or an earlier day")
    if day < EARLIEST:
        raise click.UsageError(f"{day} is before the workshop's time; give {EARLIEST} or a later day")
    return day


def _nightly(context: click.Context, day: str, out: Path) -> None:
    """The program's own command. What the night has missed is the story's point and no failure of the demo."""
    root = context.find_root()
    command = root.command.get_command(root, "nightly") if isinstance(root.command, click.Group) else None
    if command is None:
        raise click.ClickException("run this as `torqueaudit demo DIR`, for the nightly report is torqueaudit's own")
    try:
        context.invoke(command, day=day, out=out, as_json=False, keep=False)
    except click.exceptions.Exit as done:
        if done.exit_code >= FAILED:
            raise


def _tell(folder: Path, day: date, jobs: list[tuple[str, str, str, str]]) -> None:
    """Say what lies where and how to open a record."""
    book = folder / "yard.book"
    number, _, tag, token = jobs[0]
    program = sys.argv[0]  # as it was called, for it may lie on no path
    click.echo(
        f"""
DEMO: an invented workshop. No name, model or value in it is real.

{book}: the book
{folder / "labels.pdf"}: a label for each job, on an A4 sheet
{folder / "reports"}: the nightly report as HTML, PDF, JSON and CSV

The jobs, as the story leaves them on {day} (a record opened now is judged as of today):
{chr(10).join(f"{job:>3}  {vehicle:<22} {state}" for job, state, vehicle, _ in jobs)}

Look at a job at the bench:       {program} --book {book} job show {number}
Open a record as a phone does:    {program} --book {book} serve
    then http://localhost:8080/r/{token}    (job {number}, {tag}; stop it with Ctrl-C)
Hold the ledger against itself:   {program} --book {book} ledger verify"""
    )
