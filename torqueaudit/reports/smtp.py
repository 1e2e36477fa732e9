"""Mails to a server that takes them (RFC 5321): one connection for many, encrypted where the server can."""

import re
import smtplib
import ssl
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from email.message import EmailMessage
from email.policy import SMTP
from types import TracebackType
from typing import Self

from torqueaudit.model.shown.reminder import NotSent
from torqueaudit.read.mail import MailServer

WAIT = 30  # seconds for the server's answer
# To any server: what a mail holds is written in 7 bits.
POLICY = SMTP.clone(cte_type="7bit")
# That there is no such mail box, or it takes nothing: RFC 3463, 3.2 and 3.3; RFC 7505 for 5.1.10; from memory.
# Codes of the sender (5.1.7, 5.1.8), of policy (5.7) and what may be any (5.1.0, a bare 550) are none of the address.
_NONE_THERE = re.compile(r"\s*5\.(?:1\.(?:[1-46]|10)|2\.1)(?![0-9.])")


class NotMailed(NotSent):
    """A mail was not taken; `code` is what the server answered, None where it answered nothing to the mail."""

    def __init__(self, says: str, code: int | None = None, *, lasting: bool = False, unsure: bool = False) -> None:
        super().__init__(says, lasting=lasting, unsure=unsure)
        self.code = code


class MailsTo:
    """A server that mails are handed to, reached when the first one is; close it, or use it in a `with` statement.

    Whoever signs in does so over an encrypted connection alone.
    """

    def __init__(self, server: MailServer, password: str) -> None:
        self._server = server
        self._password = password
        self._open: smtplib.SMTP | None = None

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def send(self, mail: EmailMessage) -> None:
        """Hand one mail over. Raises NotMailed."""
        connection = self._connection()
        try:
            connection.send_message(mail)
        except smtplib.SMTPRecipientsRefused as error:
            code, text = next(iter(error.recipients.values()))
            says = f"the server does not take the address (code {code})"
            raise NotMailed(says, code, lasting=is_lasting(text)) from None
        except smtplib.SMTPResponseException as error:
            self.close()
            raise NotMailed(f"the server does not take the mail (code {error.smtp_code})", error.smtp_code) from None
        except OSError as error:  # also whatever else smtplib raises: the mail may have been taken
            self.close()
            raise NotMailed(f"the server broke off ({_words(error)})", unsure=True) from None

    def close(self) -> None:
        """End the connection."""
        if self._open is not None:
            with suppress(OSError):
                self._open.quit()
            self._open.close()
            self._open = None

    def _connection(self) -> smtplib.SMTP:
        """The connection, made anew where the server has closed it meanwhile."""
        if self._open is not None and not _answers(self._open):
            self.close()
        if self._open is None:
            with _said():
                self._open = self._connected()
        return self._open

    def _connected(self) -> smtplib.SMTP:
        """A connection, encrypted from the start or as soon as the server offers it, and signed in where wanted."""
        server, context = self._server, ssl.create_default_context()
        if server.tls:
            connection: smtplib.SMTP = smtplib.SMTP_SSL(server.host, server.port, timeout=WAIT, context=context)
        else:
            connection = smtplib.SMTP(server.host, server.port, timeout=WAIT)
        try:
            connection.ehlo_or_helo_if_needed()
            if not server.tls and connection.has_extn("starttls"):
                connection.starttls(context=context)
            if server.user:
                _sign_in(connection, server.user, self._password)
        except BaseException:
            connection.close()
            raise
        return connection


def is_lasting(text: bytes | str) -> bool:
    """Whether a server's answer to an address says that there is no such mail box, and not that it will not now."""
    told = text.decode("ascii", "replace") if isinstance(text, bytes) else text
    return _NONE_THERE.match(told) is not None


def _answers(connection: smtplib.SMTP) -> bool:
    try:
        return connection.noop()[0] == 250  # noqa: PLR2004  # "OK" of RFC 5321
    except OSError:
        return False


def _sign_in(connection: smtplib.SMTP, user: str, password: str) -> None:
    if not password:
        raise NotMailed("no password for mail stands among the secrets")
    if not isinstance(connection.sock, ssl.SSLSocket):
        raise NotMailed("the server offers no encryption, so the password was not sent to it")
    connection.login(user, password)


@contextmanager
def _said() -> Iterator[None]:
    """A block in which whatever a server or the network does, before any mail, becomes one sentence."""
    try:
        yield
    except smtplib.SMTPAuthenticationError as error:
        raise NotMailed(f"the server does not take the user with the password (code {error.smtp_code})") from None
    except smtplib.SMTPResponseException as error:
        raise NotMailed(f"the server does not take the mail (code {error.smtp_code})") from None
    except ssl.SSLCertVerificationError as error:
        raise NotMailed(f"the server's certificate does not hold: {error.verify_message}") from None
    except OSError as error:
        raise NotMailed(f"the server does not answer ({_words(error)})") from None


def _words(error: OSError) -> str:
    return error.strerror or str(error) or type(error).__name__
