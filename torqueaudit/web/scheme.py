"""Whether what is asked and answered can be read on the way."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from flask import Request

_READABLE = "This address is not encrypted: whoever is on this network can read the PIN that you type here."


def is_secure(request: "Request") -> bool:
    """Whether a request came by TLS, to this server or to the proxy before it; cookies are `Secure` then."""
    return request.is_secure


def warning_of(request: "Request") -> str:
    """What the page has to say that asks for a PIN; "" where nobody can read it on the way."""
    return "" if is_secure(request) else _READABLE
