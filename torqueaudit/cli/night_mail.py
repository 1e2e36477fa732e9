"""A night in mails: to each address the verdict, the head and the checkpoint, and to some the report itself."""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from torqueaudit.book.secrets import Secrets, default_place
from torqueaudit.cli.failure import sentence_of
from torqueaudit.read.mail import read_mail_address, read_mail_server

if TYPE_CHECKING:
    from torqueaudit.model.shown.night import Night
    from torqueaudit.workshop.door.workshop import Workshop


class Mailing(NamedTuple):
    """Whom a night is mailed to, whom with its report, from which address, by which server; as it was typed."""

    to: tuple[str, ...] = ()
    report_to: tuple[str, ...] = ()
    sender: str | None = None
    server: str = ""


def mail_night(workshop: "Workshop", night: "Night", mailing: Mailing, written: Iterable[Path]) -> str:
    """Mail it, and say to how many, "" to nobody; what keeps it from being mailed is told, and nothing is lost by it.

    The PDF is that of the files `written`, where it is among them.
    """
    to = tuple(dict.fromkeys((*mailing.report_to, *mailing.to)))
    if not to:
        return ""
    try:
        _send(workshop, night, mailing, to, written)
    except Exception as error:  # noqa: BLE001  # whatever a server does, the report is told
        click.echo(f"The report could not be mailed: {_why(error)}.", err=True)
        return ""
    return f"mailed to {len(to)} address{'es' * (len(to) > 1)}"


def _send(workshop: "Workshop", night: "Night", mailing: Mailing, to: tuple[str, ...], written: Iterable[Path]) -> None:
    from torqueaudit.reports.mail import night_mail, send_mails  # most nights are not mailed

    own = read_mail_address(mailing.sender or to[0])
    report = _pdf(night, written) if mailing.report_to else None
    mails = [
        night_mail(night, own, read_mail_address(each), report if each in mailing.report_to else None) for each in to
    ]
    secrets = Secrets(default_place(), workshop.book.path)
    taking = read_mail_server(mailing.server)
    send_mails(mails, taking, secrets.password() if taking.user else "")


def _pdf(night: "Night", written: Iterable[Path]) -> bytes | str:
    """The report as PDF, or why it could not be set."""
    from torqueaudit.reports.errors import ReportRefused
    from torqueaudit.reports.pdf import nightly_pdf

    try:
        there = next((path for path in written if path.suffix == ".pdf"), None)
        return there.read_bytes() if there else nightly_pdf(night)
    except ReportRefused as error:
        return str(error)
    except Exception as error:  # noqa: BLE001  # whatever a renderer fails at, the mail is sent
        return sentence_of(error)


def _why(error: Exception) -> str:
    from torqueaudit.reports.smtp import NotMailed

    plain = isinstance(error, NotMailed | ValueError)
    return (str(error) if plain else sentence_of(error)).rstrip(".")
