"""`torqueaudit publish`: the owner's pages as plain files."""

from pathlib import Path

import click

from torqueaudit.cli.command import typed
from torqueaudit.cli.common import note_made, workshop_here

MOST_NAMED = 12  # sentences of one kind that are told one by one


@click.command()
@click.option(
    *("--out", "folder"),
    type=click.Path(path_type=Path, file_okay=False),
    metavar="DIR",
    required=True,
    help="What a web space shows.",
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
    click.echo(f"{folder}: {done.written} file{'s' * (done.written != 1)} written, {done.kept} as they were.")
    for each in lacking:
        click.echo(typed(each.says, each.see), err=True)
    foreign = [f"{path} was not written by this command, so it stays; move it away" for path in done.foreign]
    unread = [f"{says}; its pages stay as they were; look into `torqueaudit ledger verify`" for says in done.unread]
    for sentence in _first(foreign) + _first(unread):
        click.echo(f"{sentence}. Then publish again.", err=True)
    if foreign or unread:
        click.get_current_context().exit(1)


def _first(sentences: list[str]) -> list[str]:
    """The first of many that mostly have one cause."""
    more = len(sentences) - MOST_NAMED
    return [*sentences[:MOST_NAMED], *([f"{more} more are so"] if more > 0 else [])]
