"""`torqueaudit publish`: the owner's pages as plain files."""

from pathlib import Path

import click

from torqueaudit.cli.command import typed
from torqueaudit.cli.common import note_made, workshop_here


@click.command()
@click.option(
    *("--out", "folder"), type=click.Path(path_type=Path), metavar="DIR", required=True, help="What a web space shows."
)
def publish(folder: Path) -> None:
    """Write the owner's pages as plain files.

    One folder for each label, DIR/r/TOKEN, so that the labels' address opens it on any web space that DIR is copied to
    (docs/publishing.md). The pages tell by the reader's own clock whether to ride or to come back. Only what has
    changed is written, and nothing that somebody else has put there.

    Exit code 0: done. 1: a page could not be made or written; it stays as it was.
    """
    from torqueaudit.web.publish.publishing import not_told, publish

    with workshop_here() as workshop:
        lacking = not_told(workshop.settings)
        try:
            done = publish(workshop, folder)
        except OSError as error:
            what = f"{error.filename or folder}: {error.strerror or error}"
            raise click.ClickException(f"{what}. What was written before it stays; publish again") from error
    note_made(f"{folder} is published")
    click.echo(f"{folder}: {done.written} files written, {done.kept} as they were.")
    for sentence in lacking:
        click.echo(typed(sentence.says, sentence.see), err=True)
    for path in done.foreign:
        click.echo(f"{path} was not written by this command, so it stays; move it away, and publish again.", err=True)
    for says in done.unread:
        click.echo(f"{says}; its pages stay as they were. `torqueaudit ledger verify` tells more.", err=True)
    if done.foreign or done.unread:
        click.get_current_context().exit(1)
