"""`torqueaudit install-units`: units of systemd, with which the program runs by itself."""

import os
import shutil
import sys
from contextlib import suppress
from difflib import unified_diff
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from torqueaudit.book.flushing import make_folder, write_whole
from torqueaudit.book.places import owned_as_book
from torqueaudit.book.secrets import Secrets, default_place, place_in
from torqueaudit.cli.common import as_typed, book_file, workshop_here
from torqueaudit.model.register.nights import RUNS_AT
from torqueaudit.read.mail import read_mail_address, read_mail_server
from torqueaudit.systemd.texts import Account, Setup, folders_of, started, units_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pwd import struct_passwd

OF_MACHINE = Path("/etc/systemd/system")
FOLDER = click.Path(path_type=Path)


class Told(NamedTuple):
    """What the options say of the units, whoever's they are."""

    host: str
    port: int
    tls: bool
    behind_proxy: bool
    reports: Path | None
    backups: Path | None
    keep: int
    mail_to: tuple[str, ...]
    report_to: tuple[str, ...]
    mail_from: str | None
    mail_server: str | None


@click.command("install-units")
@click.option("--show", is_flag=True, help="Show them, and do nothing else.")
@click.option("--out", type=FOLDER, metavar="DIR", help="The folder of the units. Default: that of systemd.")
@click.option("--user", "own", is_flag=True, help="For your own user's systemd, not for that of the machine.")
@click.option("--yes", is_flag=True, help="Write them without being asked.")
@click.option("--host", default="127.0.0.1", show_default=True, help="What serve listens on; 0.0.0.0 for all.")
@click.option("--port", default=8080, show_default=True, type=click.IntRange(1, 65535), help="The port of serve.")
@click.option("--tls", is_flag=True, help="Serve by certificates of the workshop's own authority.")
@click.option("--behind-proxy", is_flag=True, help="Serve behind a proxy on this machine.")
@click.option("--reports", type=FOLDER, metavar="DIR", help="Where each night's files go. Default: beside the book.")
@click.option("--backups", type=FOLDER, metavar="DIR", help="Where each day's backup goes. Default: beside the book.")
@click.option("--keep", default=14, show_default=True, type=click.IntRange(1), help="How many backups are kept.")
@click.option("--mail-to", multiple=True, metavar="ADDRESS", envvar="TORQUEAUDIT_MAIL_TO", help="As for nightly.")
@click.option("--report-to", multiple=True, metavar="ADDRESS", envvar="TORQUEAUDIT_REPORT_TO", help="As for nightly.")
@click.option("--mail-from", metavar="ADDRESS", envvar="TORQUEAUDIT_MAIL_FROM", help="As for nightly.")
@click.option("--mail-server", metavar="URL", envvar="TORQUEAUDIT_SMTP", help="As for nightly; without a password.")
def install_units(*, show: bool, out: Path | None, own: bool, yes: bool, **told: Any) -> None:
    """Write units of systemd for serve, the night, the backup and reminders, once they were shown.

    They run as whom the book belongs to, and may write to its folder, to the secrets, reports and backups alone.
    Nothing is enabled: what to type next is said. The night runs at half past four by the workshop's clock.
    """
    if sys.platform == "win32":
        raise click.ClickException("systemd is there on Linux alone; let the machine's own timer run the commands")
    setup = _setup(Told(**told), own=own)
    folder = (out or (_own_folder() if own else OF_MACHINE)).absolute()
    try:
        units = units_of(setup)
    except ValueError as error:
        raise click.ClickException(f"{error}; move it to a place with a plainer name") from None
    differing = [name for name, text in units.items() if _there(folder / name) != text]
    for name, text in units.items():
        _show(folder / name, text)
    if setup.account and setup.account.user == "root":
        click.echo("# The book belongs to root, and so would what runs: give its folder to a user of its own.\n")
    if show:
        return
    if not differing:
        click.echo(f"All of them are in {folder} already.")
    else:
        _write(folder, {name: units[name] for name in differing}, setup, yes=yes)
    for line in _next(setup, own=own, there=folder in (OF_MACHINE, _own_folder())):
        click.echo(line)


def _setup(told: Told, *, own: bool) -> Setup:
    """What the book and the options say. Raises a usage error or BookError."""
    book = book_file().resolve()
    with workshop_here() as workshop:
        site, zone = workshop.book.site, workshop.settings.zone
    if told.tls and told.behind_proxy:
        raise click.UsageError("--tls and --behind-proxy: give one of them; a proxy that speaks https needs no --tls")
    secrets = Secrets(_secrets(book), book)
    flags = [flag for flag, is_set in (("--tls", told.tls), ("--behind-proxy", told.behind_proxy)) if is_set]
    return Setup(
        site=site,
        program=_program(),
        book=book,
        secrets=secrets.path,
        reports=_beside(book, told.reports, "reports"),
        backups=_beside(book, told.backups, "backups"),
        keep=told.keep,
        account=None if own else _account(book),
        zone=zone,
        runs_at=RUNS_AT,
        serve=("--host", told.host, *flags),
        port=told.port,
        mail=tuple(_mail(told)),
    )


def _beside(book: Path, told: Path | None, name: str) -> Path:
    return told.absolute() if told else book.parent / name


def _mail(told: Told) -> "Iterator[tuple[str, str]]":
    """What is set for mail, looked at as `nightly` does: no password stands in it. Raises a usage error."""
    if told.mail_server is not None:
        as_typed(read_mail_server, told.mail_server)
        yield "TORQUEAUDIT_SMTP", told.mail_server
    if told.mail_from is not None:
        yield "TORQUEAUDIT_MAIL_FROM", as_typed(read_mail_address, told.mail_from)
    for name, addresses in (("TORQUEAUDIT_MAIL_TO", told.mail_to), ("TORQUEAUDIT_REPORT_TO", told.report_to)):
        if addresses:
            yield name, " ".join(as_typed(read_mail_address, each) for each in addresses)


def _program() -> Path:
    """The command itself, by its absolute path. Raises ClickException where it is not found."""
    beside = Path(sys.executable).with_name("torqueaudit")
    found = str(beside) if beside.exists() else shutil.which("torqueaudit")
    if found is None:
        raise click.ClickException(f"the command torqueaudit is neither beside {sys.executable} nor in PATH")
    return Path(found).absolute()


def _account(book: Path) -> Account:
    """Whose the book is, by name where the machine knows one."""
    import grp

    own, user = book.stat(), _user(book)
    group = str(own.st_gid)
    with suppress(KeyError):
        group = grp.getgrgid(own.st_gid).gr_name
    return Account(user.pw_name if user else str(own.st_uid), group)


def _secrets(book: Path) -> Path | None:
    """Where the secrets of whom the book belongs to lie: named, one's own, or those in the other user's home."""
    if "TORQUEAUDIT_SECRETS" in os.environ or book.stat().st_uid == os.geteuid():
        return default_place()
    owner = _user(book)
    return place_in(Path(owner.pw_dir) / ".config") if owner else None


def _user(book: Path) -> "struct_passwd | None":
    """Whom the book belongs to, asked for by number: a list of everybody has none of a directory service."""
    import pwd

    try:
        return pwd.getpwuid(book.stat().st_uid)
    except KeyError:
        return None


def _own_folder() -> Path:
    return Path(os.environ.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "systemd" / "user"


def _there(file: Path) -> str | None:
    """What stands in a unit that is there already; None where there is none."""
    try:
        return file.read_text(encoding="utf-8", errors="replace")
    except (FileNotFoundError, NotADirectoryError):
        return None


def _show(file: Path, text: str) -> None:
    """A new unit whole; of one that is there what would be changed."""
    there = _there(file)
    if there is None:
        click.echo(f"# {file}\n{text}")
    elif there == text:
        click.echo(f"# {file} is there already, word for word\n\n{text}")
    else:
        lines = unified_diff(there.splitlines(), text.splitlines(), f"{file} as it is", f"{file} anew", lineterm="")
        click.echo("\n".join([f"# {file} is there already, and differs", *lines, ""]))


def _write(folder: Path, units: dict[str, str], setup: Setup, *, yes: bool) -> None:
    """Write what somebody says yes to: new ones together, and each that is there on its own. Raises ClickException."""
    new = [name for name in units if _there(folder / name) is None]
    if new and not yes and not click.confirm(f"Write {len(new)} new units into {folder}?"):
        raise click.Abort
    for name in (each for each in units if each not in new):
        if not yes and not click.confirm(f"Write {folder / name} anew, as shown?"):
            units = {other: text for other, text in units.items() if other != name}
    place = folder
    try:
        for place in (each for each in folders_of(setup) if not each.is_dir()):
            make_folder(place)
            owned_as_book(setup.book, place)
            click.echo(f"made: {place}")
        if folder != OF_MACHINE:  # without which there is no systemd here
            make_folder(folder)
        for name, text in units.items():
            place = folder / name
            write_whole(place, text.encode())
            click.echo(f"written: {place}")
    except OSError as error:
        says = f"{place} cannot be written: {error.strerror}; run this as root, or give --user or --out"
        raise click.ClickException(says) from None


def _next(setup: Setup, *, own: bool, there: bool) -> "Iterator[str]":
    """What to type next, as nothing was enabled."""
    systemctl = f"systemctl{' --user' if own else ''}"
    yield "Nothing runs yet. Next:" if there else "Nothing runs yet. Copy them to where systemd looks for them, then:"
    yield f"  {systemctl} daemon-reload"
    yield f"  {systemctl} enable --now {' '.join(started(setup))}"
    if own:
        yield "  loginctl enable-linger   (so that they run while you are not signed in)"
    yield f"  {systemctl} list-timers '{setup.name}-*'"
    yield "Copy the backups to another machine or disk: one that fails takes both along."
