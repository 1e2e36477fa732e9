"""`torqueaudit board`: the open jobs, large enough for the board in the workshop."""

import click


@click.command()
def board() -> None:
    """Print the jobs that are in the workshop now."""
    from torqueaudit.plugin.commands import jobs, workshop_here

    with workshop_here() as workshop:
        for row in jobs(workshop):
            if row.state in ("open", "released"):
                click.echo(f"JOB {row.job}   {row.vehicle}   {row.title}   {row.state}")
