"""`torqueaudit nightly`: what a day has missed, on the screen and as files."""

import sys
from collections.abc import Iterable, Sequence
from errno import EBADF
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from torqueaudit.book.errors import BookError
from torqueaudit.book.secrets import Secrets, default_place
from torqueaudit.cli.common import as_typed, json_option, workshop_here
from torqueaudit.cli.failure import sentence_of
from torqueaudit.cli.folds import print_folds
from torqueaudit.model.act import Came, Say
from torqueaudit.model.register.permits import NIGHT
from torqueaudit.read.day import read_day
from torqueaudit.read.mail import read_mail_address, read_mail_server
from torqueaudit.reports.data import nightly_json
from torqueaudit.reports.errors import ReportRefused
from torqueaudit.reports.files import write_nightly
from torqueaudit.reports.html import VERDICTS
from torqueaudit.workshop.night.heartbeat import (
    heartbeat,
    keep_audited,
    last_audited,
    nights_to_run,
    with_heartbeat,
    with_lateness,
)
from torqueaudit.workshop.night.night import keep_in_full, night_of
from torqueaudit.workshop.night.sealing import sealed

if TYPE_CHECKING:
    from datetime import date

    from torqueaudit.model.shown.night import Night
    from torqueaudit.workshop.door.workshop import Workshop

FAILED = 2


class Telling(NamedTuple):
    """Where a night is told: the folder of its files, whom it is mailed to, and how it is shown."""

    out: Path | None
    mail_to: tuple[str, ...]
    mail_from: str | None
    server: str
    as_json: bool


@click.command()
@click.option("--date", "day", metavar="DAY", help="The local day to judge, such as 2031-04-02. Default: yesterday.")
@click.option("--since-last", is_flag=True, help="Each night since the last one that was audited; nothing twice.")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", help="The folder for the HTML, PDF, JSON and CSV files."
)
@click.option(
    *("--mail-to", "mail_to"),
    multiple=True,
    metavar="ADDRESS",
    envvar="TORQUEAUDIT_MAIL_TO",
    help="Mail verdict, head and checkpoint there; may be repeated (TORQUEAUDIT_MAIL_TO, spaces between).",
)
@click.option("--mail-from", metavar="ADDRESS", envvar="TORQUEAUDIT_MAIL_FROM", help="Default: the first of --mail-to.")
@click.option(
    *("--mail-server", "server"),
    metavar="URL",
    envvar="TORQUEAUDIT_SMTP",
    help="Such as smtp://localhost or smtps://user@mail.example (TORQUEAUDIT_SMTP).",
)
@json_option
def nightly(
    day: str | None,
    out: Path | None,
    mail_to: tuple[str, ...] = (),
    mail_from: str | None = None,
    server: str | None = None,
    *,
    since_last: bool = False,
    as_json: bool,
    keep: bool = True,
) -> None:
    """Write the nightly report of what was missed.

    Exit code 0: nothing was missed. 1: something was, or nights before it were not audited. 2: something could not be
    audited, or the report failed. A mail that is not taken is told, and changes no code.
    """
    if since_last and (day or as_json):
        raise click.UsageError("--since-last is for several nights: give it without --date and --json")
    told_to = mail_to if keep else ()
    telling = Telling(out=out, mail_to=told_to, mail_from=mail_from, server=server or "", as_json=as_json)
    code = 0
    try:
        with workshop_here() as workshop:
            for each in _days(workshop, day, since_last=since_last):
                night = _night(workshop, each, keep=keep, made_up=since_last)
                _tell(workshop, night, telling)
                if keep:
                    _keep_audited(workshop, night)
                code = max(code, night.exit_code)
    except click.ClickException:
        raise
    except BrokenPipeError:  # nobody may take a report that nobody reads for a quiet night
        click.get_current_context().exit(FAILED)
    except Exception as error:  # noqa: BLE001  # a night that fails says so in one sentence and with its code
        click.echo(f"The nightly report failed: {sentence_of(error)}", err=True)
        click.get_current_context().exit(FAILED)
    click.get_current_context().exit(code)


def _days(workshop: "Workshop", day: str | None, *, since_last: bool) -> "Sequence[date | None]":
    """The days whose nights are asked for; None stands for yesterday."""
    if not since_last:
        return [as_typed(read_day, day) if day else None]
    days = nights_to_run(workshop)
    if not days:
        click.echo(f"The night of {last_audited(workshop)} was audited already; no other has come since.")
    return days


def _night(workshop: "Workshop", day: "date | None", *, keep: bool, made_up: bool) -> "Night":
    """One night, recorded and sealed; not for the demo, whose book is the same whenever it is played."""
    night = night_of(workshop, day)
    if not keep:
        return night
    night = with_heartbeat(with_lateness(night) if made_up else night, heartbeat(workshop, night.date))
    _keep(workshop, night)
    return sealed(workshop, night, default_place())


def _tell(workshop: "Workshop", night: "Night", telling: "Telling") -> None:
    """Write, mail and show a night. Raises what kept a file from being written, once the rest is told."""
    written, refused = _write(night, telling.out) if telling.out is not None else ((), None)
    mailed = _mail(workshop, night, telling) if telling.mail_to else ""
    _show(night, as_json=telling.as_json)
    _say_where(written, mailed, as_json=telling.as_json)
    _require_told(refused)


def _keep_audited(workshop: "Workshop", night: "Night") -> None:
    try:
        keep_audited(workshop, night)
    except BookError as error:
        click.echo(
            f"That this night was audited could not be kept, so it will be called missing: {error.says}", err=True
        )


def _keep(workshop: "Workshop", night: "Night") -> None:
    """A book that cannot be written to is no reason to lose its report: the next night judges everything again."""
    try:
        keep_in_full(workshop, night, Say(NIGHT, came=Came("night")))
    except Exception as error:  # noqa: BLE001  # the report is told, whatever keeps this from being recorded
        click.echo(f"That everything was judged could not be recorded: {sentence_of(error)}", err=True)


def _mail(workshop: "Workshop", night: "Night", telling: "Telling") -> str:
    """Mail the night, and say to how many; what keeps it from being mailed is told, and nothing is lost by it."""
    from torqueaudit.reports.mail import night_mail, send_mails  # most nights are not mailed

    to = telling.mail_to
    try:
        own = read_mail_address(telling.mail_from or to[0])
        mails = [night_mail(night, own, address) for address in map(read_mail_address, to)]
        secrets = Secrets(default_place(), workshop.book.path)
        taking = read_mail_server(telling.server)
        send_mails(mails, taking, secrets.password() if taking.user else "")
    except Exception as error:  # noqa: BLE001  # whatever a server does, the report is told
        click.echo(f"The report could not be mailed: {_why(error)}.", err=True)
        return ""
    return f"mailed to {len(mails)} address{'es' * (len(mails) > 1)}"


def _why(error: Exception) -> str:
    from torqueaudit.reports.smtp import NotMailed

    plain = isinstance(error, NotMailed | ValueError)
    return (str(error) if plain else sentence_of(error)).rstrip(".")


def _show(night: "Night", *, as_json: bool) -> None:
    if as_json:
        click.echo(nightly_json(night), nl=False)
    else:
        print_night(night)


def print_night(night: "Night") -> None:
    """What a day has missed, section by section."""
    demo = " (demo: an invented workshop)" if night.demo else ""
    click.echo(f"{night.site}, {night.date}{demo}: {VERDICTS[night.exit_code]}")
    print_folds(night)
    for added in night.extra:
        click.echo(added.title)
        for said in (*added.in_words, *(" · ".join(row) for row in added.rows)):
            click.echo(f"  {said}")
    click.echo(f"Everything on the road was judged in full for {night.judged_in_full or 'no day yet'}.")
    click.echo(f"The whole book was verified for {night.verified_in_full or 'no day yet'}.")
    click.echo(f"Head of the chain: {night.head}")
    if night.seal:
        click.echo(f"Checkpoint, sealed with the key {night.seal.key_id}:\n\n{night.seal.note}", nl=False)


def _write(night: "Night", folder: Path) -> tuple[Sequence[Path], Exception | None]:
    """Write the files before anything is shown; those of a report that failed half way lie there too."""
    try:
        return write_nightly(night, folder), None
    except ReportRefused as error:
        return error.written, error
    except Exception as error:  # noqa: BLE001  # whatever a file fails at, the report is shown and mailed first
        return (), error


def _say_where(written: Iterable[Path], mailed: str, *, as_json: bool) -> None:
    for line in (*(f"written: {path}" for path in written), mailed):
        if line:
            click.echo(line, err=as_json)


def _require_told(refused: Exception | None) -> None:
    """Raise what kept a file from being written, or OSError where nobody was shown the report."""
    if refused:
        raise refused
    if sys.stdout is None:
        raise OSError(EBADF, "the output is closed")
    sys.stdout.flush()
