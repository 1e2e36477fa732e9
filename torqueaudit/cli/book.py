"""`torqueaudit book`: the file itself."""

from pathlib import Path

import click

from torqueaudit.cli.common import workshop_here


@click.group()
def book() -> None:
    """Rebuild the lists, back up the book."""


@book.command("rebuild")
def rebuild() -> None:
    """Write every list anew from the ledger, and overwrite once more what was erased."""
    with workshop_here() as workshop:
        workshop.book.rebuild()
    click.echo("every list is written anew from the ledger")


@book.command("backup")
@click.argument("target", type=click.Path(path_type=Path))
def backup(*, target: Path) -> None:
    """Copy the book, its photos and its papers to TARGET, while others write."""
    with workshop_here() as workshop:
        workshop.book.backup(target)
        head = workshop.book.tell_head()
    click.echo(f"{target}: a copy of the book; its head is at most {head}")
