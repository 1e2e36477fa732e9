"""The command `torqueaudit card`: a reminder on paper, for an owner who gets no mails."""

from pathlib import Path

import click

from torqueaudit.plugin.commands import NotSet, note_made, reminder_of_job, workshop_here, write_all


@click.command(name="card")
@click.argument("job", metavar="JOB")
@click.option(
    "--out", required=True, type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help="The PDF to write."
)
def card(job: str, out: Path) -> None:
    """Make a card of A6, to hand over or to post: when to come back for JOB's re-check, and what to look at before.

    It says what a mail says, as it stands now; its square code opens the page of the motorcycle.
    """
    from torqueaudit_plugins.mail.page import card_of  # the renderer is slow to load

    if out.suffix.lower() != ".pdf":
        raise click.UsageError(f"{out}: a card is a PDF; write it as {out.with_suffix('.pdf')}")
    with workshop_here() as workshop:
        reminder = reminder_of_job(workshop, job)
    try:
        pdf = card_of(reminder)
    except NotSet as error:
        raise click.ClickException(f"the card was not made: {error}") from None
    write_all({out: pdf})
    note_made(f"{out} is a whole card")
    click.echo(f"written: {out}")
