"""What every answer carries: nothing is loaded, run, framed, guessed at, kept or indexed that is not named here."""

import base64
from hashlib import sha256
from typing import TYPE_CHECKING

from flask import Flask, Response, request

from torqueaudit.web.access import OPENED_TO, opens
from torqueaudit.web.told import Told, page_of

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

_ALWAYS = "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
_SCRIPT = "script-src 'self'; connect-src 'self'"
SCRIPT = "text/javascript; charset=utf-8"  # RFC 9239
BENCH = frozenset({"invited", "worker_script"})  # opened to strangers, and of the bench all the same
KEPT = "public, max-age=31536000, immutable"  # by the browser: the address of such a file holds its digest
CHANGED = Told("No such file here", "The page that asks for it is of another version. Open the page anew.", 404)
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
    style_digest, script_digest = (sha256(each.encode()).hexdigest()[:16] for each in (bench_style, bench_script))
    app.jinja_env.globals.update(bench_digest=style_digest, script_digest=script_digest)

    @app.get("/bench-<digest>.css")
    def style(digest: str) -> "ResponseReturnValue":
        """Give the style sheet of the bench, by the digest of what it is now."""
        return _kept(bench_style, "text/css; charset=utf-8") if digest == style_digest else page_of(CHANGED, form=False)

    @app.get("/bench-<digest>.js")
    def script(digest: str) -> "ResponseReturnValue":
        """Give the script of the bench, by the digest of what it is now."""
        return _kept(bench_script, SCRIPT) if digest == script_digest else page_of(CHANGED, form=False)

    @app.after_request
    def guard(response: Response) -> Response:
        """Make the last touch; the pages of strangers load nothing at all."""
        asked = request.endpoint or ""
        own = asked in BENCH or (asked in OPENED_TO and not opens("stranger", asked))
        response.headers.update({**FIXED, "Content-Security-Policy": bench if own else strict})
        response.headers.setdefault("Cache-Control", "no-store")
        return response


def _kept(text: str, kind: str) -> "ResponseReturnValue":
    return text, {"Content-Type": kind, "Cache-Control": KEPT}
