"""`--sites all`: a command that is run for each site of a chain that the login works for."""

from collections.abc import Callable, Iterator
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from torqueaudit.cli.common import BY_SITE, book_place, print_json
from torqueaudit.cli.values import OneOf

if TYPE_CHECKING:
    from torqueaudit.book.address import Server

C = TypeVar("C", bound=Callable[..., Any])
COULD_NOT = 2  # the exit code of a night that could not be audited; any other command ends with 1


def each_site(*, folder: str = "", failed: int = 1) -> Callable[[C], C]:
    """Add `--sites all` to a command; each site is told under its name, and the worst exit code is the command's.

    `folder` names an option with a folder to write to: each site has one of its own in it. A site that cannot be told
    is told so, and counts as `failed`.
    """

    def added(command: C) -> C:
        @click.option("--sites", type=OneOf(["all"]), help="Of each site in the database, one after another.")
        @wraps(command)
        def told(*args: Any, sites: str | None = None, **how: Any) -> None:
            if not sites:
                command(*args, **how)
                return
            context = click.get_current_context()
            found = context.meta[BY_SITE] = {} if how.get("as_json") else None
            codes = [_told(command, place, folder, failed, *args, **how) for place in _places()]
            if found is not None:
                del context.meta[BY_SITE]
                print_json({"sites": found})
            context.exit(max(codes))

        return told  # type: ignore[return-value]  # the same command with one option more

    return added


def _places() -> Iterator["Server"]:
    """Each site's place in the database that was named, while it is the one that every command opens."""
    from torqueaudit.book.address import Server
    from torqueaudit.book.postgres.making import sites_of

    place, root = book_place(), click.get_current_context().find_root()
    if not isinstance(place, Server):
        raise click.UsageError(f"{place} is a book in a file, of one site alone; --sites is for a database")
    for site in sites_of(place._replace(site="")):
        root.obj = place._replace(site=site)
        yield root.obj
    root.obj = place


def _told(command: Callable[..., Any], place: "Server", folder: str, failed: int, *args: Any, **how: Any) -> int:
    """Run the command for one site; its exit code."""
    from torqueaudit.book.errors import BookError
    from torqueaudit.cli.failure import sentence_of
    from torqueaudit.model.act import Refused

    if folder and isinstance(own := how.get(folder), Path):
        how[folder] = own / place.site
    if not how.get("as_json"):
        click.secho(f"{place.site}:", bold=True)
    try:
        command(*args, **how)
    except click.exceptions.Exit as ended:
        return ended.exit_code
    except (BookError, Refused) as error:
        click.echo(f"{place.site}: {sentence_of(error)}", err=True)
        return failed
    return 0
