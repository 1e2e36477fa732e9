"""Where a mail goes and which server takes it, as somebody writes them down."""

import re
from typing import NamedTuple
from urllib.parse import unquote, urlsplit

PORTS = {"smtp": 25, "smtps": 465}
_ADDRESS = r"[A-Za-z0-9.!#$%&'*+/=?^_`{|}~-]{1,64}@[A-Za-z0-9](?:[A-Za-z0-9.-]{0,252}[A-Za-z0-9])?"


class MailServer(NamedTuple):
    """A server that takes mail; `tls` from the first byte on; `user` "" where nobody signs in."""

    host: str
    port: int
    tls: bool
    user: str


def read_mail_server(text: str) -> MailServer:
    """A server such as smtps://user@mail.example:465. Raises ValueError with a sentence, which repeats no password."""
    try:
        parts = urlsplit(text.strip())
        port = parts.port
    except ValueError:
        parts, port = urlsplit(""), None
    if parts.scheme not in PORTS or not parts.hostname or parts.path.strip("/") or parts.query or parts.fragment:
        raise ValueError("write the mail server as smtp://mail.example:587, or smtps://user@mail.example")
    if parts.password is not None:
        raise ValueError("the password for mail does not stand in the server's address; write it among the secrets")
    user = unquote(parts.username or "")
    return MailServer(parts.hostname, port or PORTS[parts.scheme], parts.scheme == "smtps", user)


def read_mail_address(text: str) -> str:
    """An address such as foreman@yard.example. Raises ValueError with a sentence, which does not repeat it."""
    address = text.strip()
    if not re.fullmatch(_ADDRESS, address) or ".." in address:
        raise ValueError("this is no mail address; write one as foreman@yard.example")
    return address
