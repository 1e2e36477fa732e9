"""What is said to a machine that no page answers: its request cannot be read, or there is no room for it."""

from http import HTTPStatus

_SAYS = {
    400: "This is no request as browsers send them.",
    408: "This took too long, and was given up. Send it again.",
    411: "What is sent here has to say how long it is.",
    413: "This is larger than anything that is taken here.",
    426: "This port speaks https alone: write https:// before the address.",
    431: "The head of this request is longer than a browser makes it.",
    501: "This way of sending is not known here. Send it as browsers do.",
    503: "You have too many connections open here. Close some, and try again in ten seconds.",
}
_OTHER = "This could not be answered."
RETRY_AFTER = ("Retry-After", "10")  # seconds


class Refusal:
    """An answer in one sentence of plain text, made like the errors of waitress."""

    def __init__(self, code: int) -> None:
        self.code = code

    def to_response(self, _ident: str | None = None) -> tuple[str, list[tuple[str, str]], bytes]:
        """Give the status, the headers and the body."""
        headers = [
            ("Content-Type", "text/plain; charset=utf-8"),
            ("X-Content-Type-Options", "nosniff"),
            ("Cache-Control", "no-store"),
        ]
        if self.code == HTTPStatus.SERVICE_UNAVAILABLE:
            headers.append(RETRY_AFTER)
        return f"{self.code} {HTTPStatus(self.code).phrase}", headers, f"{_SAYS.get(self.code, _OTHER)}\n".encode()

    def whole(self) -> bytes:
        """Give the answer as it goes over the network, after which the connection is closed."""
        status, headers, body = self.to_response()
        headers += [("Content-Length", str(len(body))), ("Connection", "close")]
        lines = "".join(f"{name}: {value}\r\n" for name, value in headers)
        return f"HTTP/1.1 {status}\r\n{lines}\r\n".encode() + body
