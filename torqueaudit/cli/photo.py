"""`torqueaudit photo`: photos of work."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from torqueaudit.cli.act import act_on
from torqueaudit.cli.common import Who, json_option, print_json, who_says, why_option, workshop_here
from torqueaudit.workshop.jobs.photos import erase_photo, photograph, photos_of_job

if TYPE_CHECKING:
    from torqueaudit.photo import Harmless
    from torqueaudit.workshop.jobs.photos import Listed

FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.group()
def photo() -> None:
    """Photos of work."""


@photo.command("add")
@click.argument("job")
@click.argument("keys", metavar="KEY…", nargs=-1, required=True)
@click.argument("file", type=FILE)
@click.option("--why", default="", help="What it shows, or why it was taken.")
@click.option(
    "--black",
    multiple=True,
    metavar="L,T,R,B",
    help="An area to black out, in shares: 0.1,0.2,0.5,0.4. May be repeated.",
)
@who_says
@json_option
def add(
    *, job: str, keys: tuple[str, ...], file: Path, why: str, black: tuple[str, ...], who: Who, as_json: bool
) -> None:
    """Keep a photo (JPEG or PNG) of a fastener, a step, a part or a measurement, or of several.

    Place, comments and all else in the file but the picture are left behind. Keep plates and faces out of it, or black
    them out: --black 0,0.8,1,1 blackens the lowest fifth.
    """
    picture = _made_harmless(file, black)
    act_on(job, who, as_json=as_json, act=lambda w, say: photograph(w, job, keys, picture, why, say))


def _made_harmless(file: Path, black: tuple[str, ...]) -> "Harmless":
    from torqueaudit.photo import NotRead, make_harmless_apart, read_areas

    try:
        with file.open("rb") as opened:
            return make_harmless_apart(opened, read_areas(black))
    except NotRead as error:
        raise click.ClickException(f"{file}: {error}") from None
    except OSError as error:
        raise click.ClickException(f"{file} cannot be read: {error.strerror}") from None


@photo.command("list")
@click.argument("job")
@json_option
def list_photos(*, job: str, as_json: bool) -> None:
    """List the photos of a job, with what each shows and where it lies."""
    with workshop_here() as workshop:
        found = photos_of_job(workshop, job)
    if as_json:
        from torqueaudit.reports.json.job import photo_json

        print_json([{"of": list(each.keys), **photo_json(each.view), "file": each.file} for each in found])
        return
    for each in found:
        click.echo(_line(each))
    if not found:
        click.echo(f"job {job}: no photo was taken.")


def _line(each: "Listed") -> str:
    view = each.view
    why = f": {view.why}" if view.why else ""
    ends = view.erased or each.file
    return f"{view.digest[:8]}  {view.when:%Y-%m-%d %H:%M} by {view.by}, {each.names}{why}\n          {ends}"


@photo.command("erase")
@click.argument("job")
@click.argument("photo", metavar="PHOTO")
@why_option("Why, without what it shows", "“a plate was to be read”")
@who_says
@json_option
def erase(*, job: str, photo: str, why: str, who: Who, as_json: bool) -> None:
    """Erase a photo for good, by its first eight characters. By a foreman.

    That it was taken, and erased by whom and why, stays. Where another job keeps the same photo its file stays too.
    Copies of the book that were made before still hold it.
    """
    act_on(job, who, as_json=as_json, act=lambda w, say: erase_photo(w, job, photo, why, say))
