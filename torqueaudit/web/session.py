"""Who asks, from the two cookies of a browser or the key of a program, and whether they may: before every page."""

import hmac
from contextlib import suppress
from functools import partial
from hashlib import sha256
from typing import TYPE_CHECKING
from urllib.parse import quote, urlsplit

from flask import Flask, g, redirect, request
from markupsafe import Markup

from torqueaudit.book.errors import BookError
from torqueaudit.model.act import Refused
from torqueaudit.model.register.permits import FOREMAN
from torqueaudit.web.access import opens
from torqueaudit.web.addresses import way_up
from torqueaudit.web.asking import Asking
from torqueaudit.web.bodies import most_of
from torqueaudit.web.problem import KEY_ASKED, UNAUTHORIZED, problem
from torqueaudit.web.programs.admission import Admission
from torqueaudit.web.told import Told, page_of
from torqueaudit.web.waking import WAKE, carries_on, wake_page
from torqueaudit.web.wanted import shows_key, wants_data
from torqueaudit.workshop.signing.devices import device_of_key
from torqueaudit.workshop.signing.hashes import digest_of
from torqueaudit.workshop.signing.sessions import SHIFT, choose, session_of, wake

if TYPE_CHECKING:
    from flask import Response
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

DEVICE, SESSION = "device", "session"  # the cookies
YEAR = 365 * 24 * 3600  # seconds; a browser forgets the device after it, and is let in anew
FOR_SIGNING_IN = frozenset({"signing", "sign", "sign_as", "leave", "signed_out", "change_pin"})

NOT_LET_IN = Told(
    "This device was not let in",
    "A foreman lets in a phone or tablet once, with a code. Whoever holds a label types its token here.",
    403,
)
NOT_YOURS = Told("A foreman opens this", "Ask a foreman, or sign in as one.", 403)
FROM_ELSEWHERE = Told("Not sent from this page", "Open the page anew, and send it from there.", 403)
SIGNED_OUT = Told("You are signed out", "Nothing was recorded. Sign in, go back, and send it again.", 401)


def add_session(app: Flask, workshop: "Workshop", *, owner_only: bool = False) -> None:
    """Find out who asks, and turn away who may not; a page without a row in the table is opened by nobody.

    A server for owners alone knows nobody else, whatever a browser shows it.
    """
    nobody = Asking(reach="owner") if owner_only else Asking()
    programs = None if owner_only else Admission(workshop)

    @app.before_request
    def asked() -> "ResponseReturnValue | None":
        """Let somebody on, or say why not. Whoever shows the key of a program is one, whatever a browser sends."""
        if programs is not None and shows_key():
            g.asking = nobody
            return programs.asked()
        g.asking = nobody if owner_only else _known(workshop)
        if request.routing_exception or request.endpoint is None:
            return None
        if not opens(g.asking.reach, request.endpoint):
            return _turned_away(g.asking)
        if g.asking.asleep and request.endpoint not in FOR_SIGNING_IN and not opens("device", request.endpoint):
            return to_sign_in() if request.method == "GET" else _woken(workshop)
        return None

    @app.context_processor
    def known() -> dict[str, object]:
        """Give every template who asks, and what its forms bring back."""
        asking: Asking = g.get("asking") or nobody
        field = Markup('<input type="hidden" name="form" value="{}">').format(asking.form)
        return {
            "asking": asking,
            "may_open": partial(opens, asking.reach),
            "is_demo": lambda: workshop.settings.demo,
            "form_token": asking.form,
            "form_field": field,
        }


def add_form_guard(app: Flask) -> None:
    """Take no form of another page. Comes behind the look at the bodies, as a form is read for it."""

    @app.before_request
    def sent_from_here() -> "ResponseReturnValue | None":
        """Turn away a form that no page of this server sent."""
        if request.routing_exception or request.endpoint is None or request.method in ("GET", "HEAD"):
            return None
        request.max_content_length = most_of(request.path)
        return None if _from_here(g.asking) else page_of(FROM_ELSEWHERE, form=False)


def is_secure() -> bool:
    """Whether the page is asked for over https, so that a cookie may be kept from plain http."""
    return request.is_secure


def keep_cookie(response: "Response", name: str, key: str) -> None:
    """Hand a browser the key of a device or of a session; no script reads it, and no other site sends it."""
    seconds = YEAR if name == DEVICE else int(SHIFT.total_seconds())
    response.set_cookie(name, key, max_age=seconds, httponly=True, samesite="Strict", secure=is_secure())


def forget_cookie(response: "Response", name: str) -> None:
    """Take a key away from a browser."""
    response.delete_cookie(name, httponly=True, samesite="Strict", secure=is_secure())


def keep_choice(workshop: "Workshop", **chosen: str) -> None:
    """Remember what stays chosen at the bench; a disk that takes nothing keeps nobody from reading."""
    if any(g.asking.chosen.get(name, "") != value for name, value in chosen.items()):
        with suppress(BookError, Refused):
            choose(workshop, request.cookies.get(SESSION, ""), chosen)


def to_sign_in() -> "ResponseReturnValue":
    """Lead to signing in, and from there back to the page that was asked for."""
    if wants_data():
        return problem(UNAUTHORIZED, KEY_ASKED)
    if request.method != "GET":
        return page_of(SIGNED_OUT, form=False)
    wanted = request.full_path.strip("/?")
    return redirect(f"{way_up(request.path)}sign?{'next=' + quote(wanted, safe='') if wanted else ''}", 303)


def _woken(workshop: "Workshop") -> "ResponseReturnValue | None":
    """Let a form on whose person has slept, once it brings their PIN; ask for it where it does not yet."""
    request.max_content_length = most_of(request.path)
    if not carries_on():
        return page_of(SIGNED_OUT, form=False)
    if not _from_here(g.asking):
        return page_of(FROM_ELSEWHERE, form=False)
    if WAKE not in request.form:
        return wake_page()
    try:
        wake(workshop, g.asking.device, request.cookies.get(SESSION, ""), request.form[WAKE].strip())
    except Refused as refused:
        return wake_page(str(refused))
    g.asking = _known(workshop)
    return None


def _known(workshop: "Workshop") -> Asking:
    """Who asks. Nobody becomes idle within one minute of asking, so that it may be kept for so long."""
    key, own = request.cookies.get(DEVICE, ""), request.cookies.get(SESSION, "")
    if not key or not own or workshop.kept is None:
        return _asking(workshop, key, own)
    return workshop.kept.get("asking", (digest_of(key), digest_of(own)), lambda: _asking(workshop, key, own))


def _asking(workshop: "Workshop", key: str, own: str) -> Asking:
    device = device_of_key(workshop, key) if key else None
    if device is None:
        return Asking()
    session = session_of(workshop, device, own) if own else None
    if session is None:
        return Asking(device, reach="device", form=_form_token(key))
    return Asking(
        device=device,
        person=session.person,
        reach="foreman" if FOREMAN in session.roles else "staff",
        chosen=session.chosen,
        asleep=session.asleep,
        form=_form_token(own),
    )


def _turned_away(asking: Asking) -> "ResponseReturnValue":
    if asking.reach in {"stranger", "device"} and wants_data():
        return problem(UNAUTHORIZED, KEY_ASKED)
    if asking.reach == "stranger":
        return page_of(NOT_LET_IN)
    return to_sign_in() if asking.reach == "device" else page_of(NOT_YOURS, form=False)


def _form_token(key: str) -> str:
    return hmac.new(key.encode(), b"form", sha256).hexdigest()[:32]


def _from_here(asking: Asking) -> bool:
    """Whether a form was sent by a page of this server: as the browser says, and with the token of the session.

    A stranger has none: what the owner tells stands behind the label's own address, which no other site knows.
    """
    site, origin = request.headers.get("Sec-Fetch-Site", ""), request.headers.get("Origin", "")
    if site and site != "same-origin":
        return False
    if not site and origin and urlsplit(origin).netloc.lower() != request.host.lower():
        return False
    return not asking.form or hmac.compare_digest(request.form.get("form", "").encode(), asking.form.encode())
