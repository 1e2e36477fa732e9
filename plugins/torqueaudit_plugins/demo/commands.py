"""`torqueaudit demo`: plays some weeks of an invented workshop into a folder."""

import sys
from pathlib import Path

import click

from torqueaudit_plugins.demo.jobs import LAST_DAY

STOCK = "a4-3x8"
FAILED = 2


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path, file_okay=False))
def demo(folder: Path) -> None:
    """Play some weeks of an invented workshop into DIR: its book, labels, and the nightly report of its last day.

    Every name and value in it is invented and of no use for any vehicle.
    """
    from torqueaudit_plugins.demo.yard import play_story
    from torqueaudit_plugins.qr_labels.commands.label import print_labels

    if folder.exists() and any(folder.iterdir()):
        raise click.UsageError(f"{folder} is not empty; name a folder that is not there yet")
    folder.mkdir(parents=True, exist_ok=True)
    book, labels, reports = folder / "yard.book", folder / "labels.pdf", folder / "reports"
    views = play_story(book)
    context = click.get_current_context()
    context.find_root().obj = book
    numbers = tuple(view.number for view in views)
    context.invoke(print_labels, numbers=numbers, stock_name=STOCK, out=labels)
    _nightly(context, LAST_DAY.isoformat(), reports)
    _tell(folder, [(view.number, view.state, view.vehicle_tag, view.token) for view in views])


def _nightly(context: click.Context, day: str, out: Path) -> None:
    """The program's own command. What the night has missed is the story's point and no failure of the demo."""
    root = context.find_root()
    command = root.command.get_command(root, "nightly") if isinstance(root.command, click.Group) else None
    if command is None:
        raise click.ClickException("run this as `torqueaudit demo DIR`, for the nightly report is torqueaudit's own")
    try:
        context.invoke(command, day=day, out=out, as_json=False)
    except click.exceptions.Exit as done:
        if done.exit_code >= FAILED:
            raise


def _tell(folder: Path, jobs: list[tuple[str, str, str, str]]) -> None:
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

The jobs, as the story leaves them on {LAST_DAY} (a record opened now is judged as of today):
{chr(10).join(f"{job:>3}  {vehicle:<22} {state}" for job, state, vehicle, _ in jobs)}

Look at a job at the bench:       {program} --book {book} job show {number}
Open a record as a phone does:    {program} --book {book} serve
    then http://localhost:8080/r/{token}    (job {number}, {tag}; stop it with Ctrl-C)
Hold the ledger against itself:   {program} --book {book} ledger verify"""
    )
