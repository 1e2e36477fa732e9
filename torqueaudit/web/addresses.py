"""What a label's address becomes before its page is looked up: any case, with or without the path the book is under."""

from collections.abc import Iterable
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

HERE = ("localhost", "127.0.0.1")


class AnyCase:
    """A WSGI layer that lowers the letters of host and path, and takes off the path of a base address.

    A QR symbol holds its address in capitals because that needs fewer modules. `below` are the paths that base
    addresses end in ("/records"); a proxy in front may have taken one off already.
    """

    def __init__(self, app: "WSGIApplication", below: Iterable[str]) -> None:
        self._app = app
        self._below = sorted(filter(None, below), key=len, reverse=True)  # one may lie below another

    def __call__(self, environ: "WSGIEnvironment", start_response: "StartResponse") -> Iterable[bytes]:
        """Answer one request."""
        # Lowered as bytes: PATH_INFO is UTF-8 read as Latin-1, and other letters than a to z must stay as they are.
        path = environ.get("PATH_INFO", "").encode("latin-1").lower().decode("latin-1")
        below = next((each for each in self._below if f"{path}/".startswith(f"{each}/")), "")
        path = path.removeprefix(below)
        environ["PATH_INFO"] = path or "/"
        if "HTTP_HOST" in environ:
            environ["HTTP_HOST"] = environ["HTTP_HOST"].lower()
        return self._app(environ, start_response)


def below_of(base_address: str) -> str:
    """Give the path that a base address ends in, in small letters and without its last slash."""
    return urlsplit(base_address).path.rstrip("/").lower()


def hosts_of(base_addresses: Iterable[str]) -> tuple[str, ...]:
    """Give the names that the book's pages answer to: those of its base addresses, and this machine's own."""
    hosts = (urlsplit(base).hostname for base in base_addresses)
    return tuple(dict.fromkeys(filter(None, (*hosts, *HERE))))


def way_up(path: str) -> str:
    """Give the way from a page to the form, relative, so that it holds behind a proxy too: "../" from /r/TOKEN."""
    return "../" * (path.count("/") - 1) or "./"
