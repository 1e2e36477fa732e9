"""`torqueaudit board`: the open jobs, large enough for the board in the workshop."""

from pathlib import Path

import click


@click.command()
def board() -> None:
    """Print the jobs that are in the workshop now."""
    from torqueaudit.workshop.door.lists import jobs
    from torqueaudit.workshop.opening import open_workshop

    path = click.get_current_context().find_root().obj
    if path is None:
        raise click.UsageError("no book named; give --book FILE or set TORQUEAUDIT_BOOK")
    with open_workshop(Path(path)) as workshop:
        for row in jobs(workshop):
            if row.state in ("open", "released"):
                click.echo(f"JOB {row.job}   {row.vehicle}   {row.title}   {row.state}")
