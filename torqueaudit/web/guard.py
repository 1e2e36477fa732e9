"""What every answer carries: nothing is loaded, run, framed, guessed at, kept or indexed that is not named here."""

import base64
from hashlib import sha256
from typing import TYPE_CHECKING

from flask import Flask, Response, request

from torqueaudit.web.access import OPENED_TO

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

_ALWAYS = "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
_SCRIPT = "script-src 'self'; connect-src 'self'"
SCRIPT = "text/javascript; charset=utf-8"  # RFC 9239
BENCH = frozenset({"invited", "worker_script"})  # opened to strangers, and of the bench all the same
KEPT = "public, max-age=31536000, immutable"  # by the browser: the address of such a file holds its digest
FIXED = {
    "Referrer-Policy": "same-origin",
    "X-Content-Type-Options": "nosniff",
    "X-Robots-Tag": "noindex, nofollow",
}


def add_guard(app: Flask, inline: tuple[str, ...], bench_style: str, bench_script: str) -> None:
    """Add what every answer carries, and the style sheet and the script of the bench, which a browser keeps.

    `inline` are the style sheets that stand within a page.
    """
    digests = " ".join(f"'sha256-{base64.b64encode(sha256(each.encode()).digest()).decode()}'" for each in inline)
    strict = f"default-src 'none'; style-src {digests}; {_ALWAYS}"
    bench = f"default-src 'none'; style-src 'self' {digests}; img-src 'self'; {_SCRIPT}; {_ALWAYS}"
    app.jinja_env.globals["bench_digest"] = sha256(bench_style.encode()).hexdigest()[:16]
    app.jinja_env.globals["script_digest"] = sha256(bench_script.encode()).hexdigest()[:16]

    @app.get("/bench-<_digest>.css")
    def style(_digest: str) -> "ResponseReturnValue":
        """Give the style sheet of the bench."""
        return bench_style, {"Content-Type": "text/css; charset=utf-8", "Cache-Control": KEPT}

    @app.get("/bench-<_digest>.js")
    def script(_digest: str) -> "ResponseReturnValue":
        """Give the script of the bench."""
        return bench_script, {"Content-Type": SCRIPT, "Cache-Control": KEPT}

    @app.after_request
    def guard(response: Response) -> Response:
        """Make the last touch; the pages of strangers load nothing at all."""
        own = OPENED_TO.get(request.endpoint or "", "stranger") != "stranger" or request.endpoint in BENCH
        response.headers.update({**FIXED, "Content-Security-Policy": bench if own else strict})
        response.headers.setdefault("Cache-Control", "no-store")
        return response
