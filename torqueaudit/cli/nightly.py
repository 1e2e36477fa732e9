"""`torqueaudit nightly`: what a day has missed, on the screen and as files."""

import sys
from collections.abc import Iterable, Sequence
from errno import EBADF
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from torqueaudit.book.errors import BookError
from torqueaudit.book.secrets import default_place
from torqueaudit.cli.common import as_typed, json_option, print_json, workshop_here
from torqueaudit.cli.failure import sentence_of
from torqueaudit.cli.folds import print_folds
from torqueaudit.cli.night_mail import Mailing, mail_night
from torqueaudit.cli.sites import COULD_NOT, each_site
from torqueaudit.model.act import Came, Say
from torqueaudit.model.register.permits import NIGHT
from torqueaudit.read.day import read_day
from torqueaudit.reports.errors import ReportRefused
from torqueaudit.reports.files import write_nightly
from torqueaudit.reports.html import VERDICTS
from torqueaudit.reports.json.night import night_json
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
from torqueaudit.workshop.search.disclosures import take_old

if TYPE_CHECKING:
    from datetime import date

    from torqueaudit.model.shown.night import Night
    from torqueaudit.workshop.door.workshop import Workshop

FAILED = 2


class Telling(NamedTuple):
    """Where a night is told: the folder of its files, perhaps one for each date in it, mails, and how it is shown."""

    out: Path | None
    by_date: bool
    mailing: Mailing
    as_json: bool


@click.command()
@click.option("--date", "day", metavar="DAY", help="The local day to judge, such as 2031-04-02. Default: yesterday.")
@click.option("--since-last", is_flag=True, help="Each night since the last one that was audited; nothing twice.")
@click.option(
    "--out", type=click.Path(path_type=Path), metavar="DIR", help="The folder for the HTML, PDF, JSON and CSV files."
)
@click.option("--by-date", is_flag=True, help="In --out a folder for each date.")
@click.option(
    *("--mail-to", "mail_to"),
    multiple=True,
    metavar="ADDRESS",
    envvar="TORQUEAUDIT_MAIL_TO",
    help="Mail verdict, head and checkpoint there; may be repeated (TORQUEAUDIT_MAIL_TO, spaces between).",
)
@click.option(
    *("--report-to", "report_to"),
    multiple=True,
    metavar="ADDRESS",
    envvar="TORQUEAUDIT_REPORT_TO",
    help="Mail the same there with the report as PDF; may be repeated (TORQUEAUDIT_REPORT_TO, spaces between).",
)
@click.option(
    "--mail-from", metavar="ADDRESS", envvar="TORQUEAUDIT_MAIL_FROM", help="Default: the first address it is mailed to."
)
@click.option(
    *("--mail-server", "server"),
    metavar="URL",
    envvar="TORQUEAUDIT_SMTP",
    help="Such as smtp://localhost or smtps://user@mail.example (TORQUEAUDIT_SMTP).",
)
@json_option
@each_site(folder="out", failed=COULD_NOT)
def nightly(
    day: str | None,
    out: Path | None,
    mail_to: tuple[str, ...] = (),
    report_to: tuple[str, ...] = (),
    mail_from: str | None = None,
    server: str | None = None,
    *,
    since_last: bool = False,
    by_date: bool = False,
    as_json: bool,
    keep: bool = True,
) -> None:
    """Write the nightly report of what was missed.

    Exit code 0: nothing was missed. 1: something was, or nights before it were not audited. 2: something could not be
    audited, or the report failed. A mail that is not taken is told, and changes no code.
    """
    if since_last and (day or as_json):
        raise click.UsageError("--since-last is for several nights: give it without --date and --json")
    if by_date and not out:
        raise click.UsageError("--by-date makes folders in --out: give that as well")
    mailing = Mailing(mail_to, report_to, mail_from, server or "") if keep else Mailing()
    telling = Telling(out=out, by_date=by_date, mailing=mailing, as_json=as_json)
    try:
        code = _told(telling, day, since_last=since_last, keep=keep)
    except click.ClickException:
        raise
    except BrokenPipeError:  # nobody may take a report that nobody reads for a quiet night
        code = FAILED
    except Exception as error:  # noqa: BLE001  # a night that fails says so in one sentence and with its code
        click.echo(f"The nightly report failed: {sentence_of(error)}", err=True)
        code = FAILED
    click.get_current_context().exit(code)


def _told(telling: Telling, day: str | None, *, since_last: bool, keep: bool) -> int:
    """Tell each night that is asked for; the worst of their exit codes."""
    code = 0
    with workshop_here() as workshop:
        for each in _days(workshop, day, since_last=since_last):
            night = _night(workshop, each, keep=keep, made_up=since_last)
            _tell(workshop, night, telling)
            if keep:
                _keep_audited(workshop, night)
                _take_old_disclosures(workshop, night)
            code = max(code, night.exit_code)
    return code


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
    folder = telling.out / night.date.isoformat() if telling.out and telling.by_date else telling.out
    written, refused = _write(night, folder) if folder else ((), None)
    mailed = mail_night(workshop, night, telling.mailing, written)
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


def _take_old_disclosures(workshop: "Workshop", night: "Night") -> None:
    """Nothing is written behind what does not verify."""
    try:
        if night.sound:
            take_old(workshop)
    except BookError as error:
        click.echo(f"Disclosures that are kept no longer could not be taken away: {error.says}", err=True)


def _keep(workshop: "Workshop", night: "Night") -> None:
    """A book that cannot be written to is no reason to lose its report: the next night judges everything again."""
    try:
        keep_in_full(workshop, night, Say(NIGHT, came=Came("night")))
    except Exception as error:  # noqa: BLE001  # the report is told, whatever keeps this from being recorded
        click.echo(f"That everything was judged could not be recorded: {sentence_of(error)}", err=True)


def _show(night: "Night", *, as_json: bool) -> None:
    if as_json:
        print_json(night_json(night))
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
