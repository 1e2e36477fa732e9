"""The night in a mail: its verdict, the head and the checkpoint, so that they lie where nobody reaches them.

No job, no vehicle and no person is in it, and no address of it is in the book or in a report.
"""

import smtplib
import ssl
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime

from torqueaudit.book import seals
from torqueaudit.model.shown.night import Night
from torqueaudit.read.mail import MailServer
from torqueaudit.reports.html import VERDICTS

WAIT = 30  # seconds for the server's answer
# To any server: what a mail holds is written in 7 bits.
POLICY = SMTP.clone(cte_type="7bit")


class NotMailed(Exception):
    """A mail was not taken, or not for every address; one sentence says why, and repeats no address."""


def night_mail(night: Night, sender: str, to: str) -> EmailMessage:
    """The mail of a night to one address; the same night gives the same mail."""
    mail = EmailMessage(policy=POLICY)
    demo = " (demo: an invented workshop)" if night.demo else ""
    mail["Subject"] = f"{night.site}, {night.date}{demo}: {VERDICTS[night.exit_code]}"
    mail["From"], mail["To"] = sender, to
    mail["Date"] = format_datetime(night.asked_at)
    site, sequence, hash_ = night.head.split("/")
    mail["Message-ID"] = f"<{site}.{night.date}.{sequence}.{hash_[:16]}@{sender.rpartition('@')[2]}>"
    mail["Auto-Submitted"] = "auto-generated"  # RFC 3834: no answer that somebody is away is wanted
    mail.set_content("".join(f"{line}\n" for line in _lines(night)))
    if night.seal:
        mail.add_attachment(
            night.seal.note.encode(),
            maintype="text",
            subtype="plain",
            filename=seals.name_of(night.site, night.seal.size),
            params={"charset": "utf-8"},
        )
    return mail


def _lines(night: Night) -> Iterator[str]:
    yield f"{night.site}, {night.date}: {VERDICTS[night.exit_code]}"
    yield ""
    yield f"Head of the chain: {night.head}"
    if night.seal is None:
        yield "The ledger was not sealed; the report says why."
        return
    yield f"Checkpoint, sealed with the key {night.seal.key_id} (attached as well):"
    yield ""
    yield from night.seal.note.splitlines()
    yield ""
    yield "Keep this mail: the checkpoint shows later whether the ledger was changed, also to you alone."


def send_mails(mails: Sequence[EmailMessage], server: MailServer, password: str) -> None:
    """Hand each mail to the server. Raises NotMailed where it does not take all of them.

    Whoever signs in does so over an encrypted connection alone.
    """
    with _said("does not take the mail"), _connected(server) as connection:
        if server.user:
            _sign_in(connection, server.user, password)
        refused = [why for mail in mails if (why := _refused(connection, mail))]
    if refused:
        raise NotMailed(f"{len(refused)} of {len(mails)} addresses were not taken by the server ({refused[0]})")


@contextmanager
def _connected(server: MailServer) -> Iterator[smtplib.SMTP]:
    """A connection, encrypted from the start or as soon as the server offers it."""
    context = ssl.create_default_context()
    if server.tls:
        with smtplib.SMTP_SSL(server.host, server.port, timeout=WAIT, context=context) as connection:
            yield connection
        return
    with smtplib.SMTP(server.host, server.port, timeout=WAIT) as connection:
        connection.ehlo_or_helo_if_needed()
        if connection.has_extn("starttls"):
            connection.starttls(context=context)
        yield connection


def _sign_in(connection: smtplib.SMTP, user: str, password: str) -> None:
    if not password:
        raise NotMailed("no password for mail stands among the secrets")
    if not isinstance(connection.sock, ssl.SSLSocket):
        raise NotMailed("the server offers no encryption, so the password was not sent to it")
    connection.login(user, password)


def _refused(connection: smtplib.SMTP, mail: EmailMessage) -> str:
    """Why the server does not take a mail for its address; "" where it does."""
    try:
        connection.send_message(mail)
    except smtplib.SMTPRecipientsRefused as error:
        return f"code {next(code for code, _ in error.recipients.values())}"
    except smtplib.SMTPResponseException as error:
        return f"code {error.smtp_code}"
    return ""


@contextmanager
def _said(what: str) -> Iterator[None]:
    """A block in which whatever a server or the network does becomes one sentence."""
    try:
        yield
    except smtplib.SMTPAuthenticationError as error:
        raise NotMailed(f"the server does not take the user with the password (code {error.smtp_code})") from None
    except smtplib.SMTPResponseException as error:
        raise NotMailed(f"the server {what} (code {error.smtp_code})") from None
    except ssl.SSLCertVerificationError as error:
        raise NotMailed(f"the server's certificate does not hold: {error.verify_message}") from None
    except OSError as error:  # also whatever else smtplib raises
        says = error.strerror or str(error) or type(error).__name__
        raise NotMailed(f"the server does not answer ({says})") from None
