"""`torqueaudit book`: the file itself."""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.common import book_file, book_place, note_made, said_by, workshop_here
from torqueaudit.cli.place import PLACE
from torqueaudit.cli.values import HEAD, PERSON

if TYPE_CHECKING:
    from torqueaudit.book.address import Place
    from torqueaudit.ledger.chain import Head
    from torqueaudit.workshop.door.workshop import Workshop
    from torqueaudit.workshop.restore import Restored


@click.group()
def book() -> None:
    """Back up the book, put a backup back, export it, repair it, rebuild its lists."""


@book.command("rebuild")
def rebuild() -> None:
    """Write every list anew from the ledger, and overwrite once more what was erased.

    Exit code 1 where the file is damaged, which no list written anew makes right.
    """
    from torqueaudit.book.errors import damaged

    with workshop_here() as workshop:
        workshop.book.rebuild()
        found = workshop.book.faults_of_file()
    click.echo("every list is written anew from the ledger")
    if found:
        raise damaged(workshop.book.path, found[0])


@book.command("backup")
@click.argument("target", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--daily", is_flag=True, help="FILE is a folder, in which the backup of each day has a name of its own.")
@click.option("--keep", type=click.IntRange(1), metavar="N", help="With --daily: take away all but the newest N.")
def backup(*, target: Path, daily: bool, keep: int | None) -> None:
    """Copy the book and the folders beside it to FILE, while others write.

    It is said to be made once it is on the disk and its chain was read back.
    """
    from torqueaudit.book.copies import daily as by_day  # only here
    from torqueaudit.book.places import folders_of

    if keep and not daily:
        raise click.UsageError("--keep goes with --daily: other backups are taken away by nobody but you")
    with workshop_here() as workshop:
        if daily:
            target = by_day.place_of(workshop.book.path, target, workshop.today())
        if daily and target.exists():
            click.echo(f"{target} was made already; nothing was written over it.")
            return
        head = _copy_to(workshop, target)
        gone = by_day.take_away(workshop.book.path, target, keep) if keep else []
        _keep_made(workshop)
    note_made(f"{target} is a whole copy")
    click.echo(f"{target}: a copy of the book, sound up to {head}")
    beside = [folder.name for folder in folders_of(target) if folder.is_dir()]
    click.echo(f"In it, beside the file: {', '.join(beside) or 'no folder, for there is none'}.")
    click.echo("Not in it: keys and other secrets, procedures as files, plugins, reports. Keep them elsewhere.")
    for old in gone:
        click.echo(f"taken away: {old}")


def _copy_to(workshop: "Workshop", target: Path) -> "Head":
    """Copy the book, into a file also where it is in a database."""
    if isinstance(workshop.book.place, Path):
        return workshop.book.backup(target)
    from torqueaudit.book.copies.moving import copied

    return copied(workshop.book, target, workshop.clock, workshop.chance)


def _keep_made(workshop: "Workshop") -> None:
    """Keep when the backup was made. It is made, whatever keeps that from being known."""
    from torqueaudit.book import last_backup  # only here
    from torqueaudit.book.errors import BookError

    try:
        last_backup.keep(workshop.book.path, workshop.clock())
    except BookError as error:
        click.echo(f"That a backup was made could not be kept, so it will be called missing: {error.says}", err=True)


@book.command("restore")
@click.argument("source", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--head", "printed", type=HEAD, help="The newest head that you have on paper.")
@click.option("--shorter", is_flag=True, help="The backup ends too early, and what it has not is lost.")
@click.option("--why", default="", help="Why what the backup has not is lost; with --shorter.")
@click.option("--by", type=PERSON, envvar="TORQUEAUDIT_BY", help="Your number, as a foreman; with --shorter.")
def restore(*, source: Path, printed: str | None, shorter: bool, why: str, by: str | None) -> None:
    """Put the backup FILE in the place of the book, whatever lies there.

    What lies there is put aside, and nothing of it is lost. The backup is verified and held against the newest head
    that the book has told before. If this breaks off, do it again. With --shorter your PIN is asked for, where the
    workshop asks for it at the command line.
    """
    from torqueaudit.workshop.restore import Shorter, restore

    if shorter and not (why and by):
        raise click.UsageError("say with --why why it is lost, and with --by who says so")
    said = Shorter(why, lambda workshop: said_by(workshop, by or "")) if shorter else None
    done = restore(book_file(), source, printed, said)
    note_made(f"{book_file()} is put back from {source}")
    for line in _restored(source, done):
        click.echo(line)


@book.command("move")
@click.option("--to", required=True, metavar="PLACE", type=PLACE, help="A file, or postgresql://MACHINE/DATABASE.")
def move(*, to: "Place") -> None:
    """Move the book from its file into a database of PostgreSQL, or back; with the same head.

    Nobody may have it open meanwhile. It is counted and verified before the old one is put aside; if this breaks off,
    do it again. The keys in the file of secrets stay where they are.
    """
    from random import SystemRandom

    from torqueaudit.book.copies.moving import move
    from torqueaudit.workshop.opening import now

    place = book_place()
    done = move(place, to, now, SystemRandom())
    note_made(f"{to} is the book now")
    click.echo(f"{to}: {done.head.sequence} entries, sound up to {done.head}")
    click.echo(f"{place} was put aside to {done.aside}." if done.aside else f"{place} is closed.")
    click.echo("From now on give the new place with --book, also in units and in what else starts the program.")


@book.command("export")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option("--with-personal", is_flag=True, help="Also names, plates, contacts, in a file of their own.")
def export(*, folder: Path, with_personal: bool) -> None:
    """Write everything into a new folder DIR, to be read and checked without this program.

    Entries byte for byte as they were hashed, words, lists as CSV, photos, papers, seals, drafts, and digests of all.
    """
    from torqueaudit.book.copies.export import export
    from torqueaudit.reports.data import harmless

    with workshop_here() as workshop:
        done = export(workshop.book, folder, harmless, personal=with_personal)
        workshop.book.tell_head()
    note_made(f"{folder} is a whole export")
    click.echo(f"{folder}: {done.head.sequence} entries in {len(done.files)} files, up to {done.head}")
    says = "Names, plates and contacts are in it" if with_personal else "Free words are in it, which may name somebody"
    click.echo(f"{says}: keep it where nobody else reads it.")
    click.echo(f"{folder / 'README.txt'} says how to check it.")


@book.command("import")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
def import_(*, folder: Path) -> None:
    """Make the book of an export DIR, with the same head, lists and words."""
    from random import SystemRandom

    from torqueaudit.book.copies.from_export import from_export
    from torqueaudit.workshop.opening import now

    head = from_export(folder, book_place(), now, SystemRandom())
    note_made(f"{book_place()} is made of {folder}")
    click.echo(f"{book_place()}: made of {folder}, sound up to {head}")


@book.command("repair")
@click.argument("damaged", metavar="FILE", type=click.Path(path_type=Path))
@click.option("--out", "new", required=True, metavar="NEW", type=click.Path(path_type=Path), help="The new book.")
def repair(*, damaged: Path, new: Path) -> None:
    """Read out what is sound of the damaged book FILE into a new one, and name what is lost.

    FILE stays as it is. Exit code 0 when nothing is lost, 1 when anything is.
    """
    from random import SystemRandom

    from torqueaudit.book.copies.repair import repair
    from torqueaudit.workshop.opening import now

    done = repair(damaged, new, now, SystemRandom())
    note_made(f"{new} holds what is sound of {damaged}")
    click.echo(f"{new}: {done.head.sequence} entries, sound up to {done.head}; every list is written anew from them.")
    for line in done.lost or ("Nothing is lost.",):
        click.echo(line)
    for file, what in done.aside.items():
        click.echo(f"{file}: {what} that are not in the new book.")
    click.get_current_context().exit(1 if done.lost else 0)


def _restored(source: Path, done: "Restored") -> Iterator[str]:
    yield f"{book_file()}: put back from {source}, sound up to {done.head}"
    if done.lost:
        yield f"{done.lost.says}; entry {done.lost.first} says so now."
    elif not done.known:
        yield "No head was told before, as far as is known here; if you have one on paper, give it with --head."
    else:
        yield "Nothing is lost up to the newest head that was told before."
    if done.pins:
        says = f"The backup holds an old PIN of {', '.join(done.pins)}, which is taken away"
        yield f"{says}; `torqueaudit person pin {done.pins[0]}` sets a new one."
    yield from done.beside
    if done.aside:
        yield f"What lay there is in {done.aside}; keep it until you are sure."
