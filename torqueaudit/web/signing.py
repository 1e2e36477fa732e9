"""Signing in: a device let in by its code, a person by number and PIN, and what a session keeps."""

import re
from typing import TYPE_CHECKING

from flask import g, make_response, redirect, render_template, request

from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.register.permits import FOREMAN
from torqueaudit.read.number import read_person_number
from torqueaudit.web.addresses import way_up
from torqueaudit.web.bench.setting import read_fitted
from torqueaudit.web.session import DEVICE, SESSION, forget_cookie, is_secure, keep_cookie
from torqueaudit.web.told import Told, page_of
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.signing.devices import admit, invitation
from torqueaudit.workshop.signing.pins import require_pin, set_pin
from torqueaudit.workshop.signing.sessions import choose, sign_in, sign_out, sign_out_everywhere, wake

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

# Relative, so that nobody is led to another server; "" is no page.
_OWN_PAGE = re.compile(r"[a-z]+(/[a-zA-Z0-9-]+)*(\?[a-zA-Z0-9=&.%+_-]*)?")
NO_INVITATION = Told(
    "This code lets nobody in", "It was used, or its ten minutes are over; ask a foreman for a new one.", 404
)


def add_signing_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the pages on which somebody signs in and out."""

    @app.get("/sign")
    def signing() -> "ResponseReturnValue":
        """Ask for number and PIN."""
        return _sign_page(read_person_number(request.args.get("person", "")), request.args.get("next", ""))

    @app.get("/sign/<number>")
    def sign_as(number: str) -> "ResponseReturnValue":
        """Ask whoever scanned their own tag for their PIN alone; whoever is at work goes back to it."""
        return _by_tag(workshop, read_person_number(number))

    @app.post("/sign")
    def sign() -> "ResponseReturnValue":
        """Begin a session, or wake one that slept; somebody else begins one in its place."""
        return _signed_in(workshop, Typed(request.form))

    @app.get("/leave")
    def leave() -> "ResponseReturnValue":
        """Say who is signed in, and offer to change that."""
        return render_template("signing/leave.html", up="./", says="")

    @app.post("/leave")
    def signed_out() -> "ResponseReturnValue":
        """End the session here, or everywhere."""
        sign_out(workshop, request.cookies.get(SESSION, ""))
        if request.form.get("where") == "everywhere":
            sign_out_everywhere(workshop, g.asking.person)
        response = make_response(redirect("sign", 303))
        forget_cookie(response, SESSION)
        return response


def _signed_in(workshop: "Workshop", typed: Typed) -> "ResponseReturnValue":
    """Sign in with what was typed, and lead to the page that was asked for."""
    wanted, person = typed.one("next"), read_person_number(typed.one("person")) or g.asking.person
    key = request.cookies.get(SESSION, "")
    try:
        if person == g.asking.person:
            wake(workshop, g.asking.device, key, typed.one("pin"))
        else:
            key = sign_in(workshop, g.asking.device, person, typed.one("pin"))
    except Refused as refused:
        return _sign_page(person, wanted, str(refused)), 422
    response = make_response(redirect(_own_page(wanted) or _first_page(workshop, person), 303))
    keep_cookie(response, SESSION, key)
    return response


def add_own_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add what whoever is signed in changes of their own: their PIN, and what stays chosen."""

    @app.post("/pin")
    def change_pin() -> "ResponseReturnValue":
        """Change one's own PIN; the old one proves who asks."""
        try:
            _change_pin(workshop, Typed(request.form))
        except Refused as refused:
            return render_template("signing/leave.html", up="./", says=str(refused)), 422
        return redirect("sign", 303)

    @app.post("/chosen")
    def chosen() -> "ResponseReturnValue":
        """Remember the wrench and the adapter until others are chosen."""
        typed = Typed(request.form)
        wrench, adapter, back = (
            typed.one("wrench").upper(),
            typed.one("adapter"),
            _own_page(typed.one("back")) or "bench",
        )
        try:
            read_fitted(adapter)
            choose(workshop, request.cookies.get(SESSION, ""), {"wrench": wrench, "adapter": adapter})
        except Refused as refused:
            return page_of(Told("Not chosen", f"{refused}.", 422), form=False, back=back)
        return redirect(back, 303)


def add_admission_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the page that a device's code opens."""

    @app.get("/admit/<code>")
    def invited(code: str) -> "ResponseReturnValue":
        """Ask whether this is the device that is meant; looking takes no code."""
        told = invitation(workshop, code)
        if told is None:
            return page_of(NO_INVITATION, form=False)
        return render_template("signing/admit.html", name=told.name, by=told.by, up=way_up(request.path))

    @app.post("/admit/<code>")
    def let_in(code: str) -> "ResponseReturnValue":
        """Let this device in, and lead to signing in."""
        try:
            admitted = admit(workshop, code)
        except Refused:
            return page_of(NO_INVITATION, form=False)
        response = make_response(redirect(f"{way_up(request.path)}sign", 303))
        keep_cookie(response, DEVICE, admitted.key)
        return response


def _own_page(wanted: str) -> str:
    """The page that somebody came from, where it is one of ours; else ""."""
    return wanted if _OWN_PAGE.fullmatch(wanted) else ""


def _first_page(workshop: "Workshop", person: str) -> str:
    """What somebody sees first who signed in: a foreman what is to be decided, anybody else the motorcycles."""
    known = workshop.person(person)
    return "today" if known and FOREMAN in known.roles else "bench"


def _change_pin(workshop: "Workshop", typed: Typed) -> None:
    asking, new = g.asking, typed.one("new")
    if new != typed.one("again"):
        raise Refused("the two new PINs differ; type it twice alike")
    require_pin(workshop, asking.device, asking.person, typed.one("pin"))
    set_pin(workshop, Say(asking.person, came=Came("page", "PIN", asking.device)), asking.person, new)


def _by_tag(workshop: "Workshop", person: str) -> "ResponseReturnValue":
    """The sign-in page with the number on it; it leads to the job that was on the screen last."""
    job = g.asking.chosen.get("job", "")
    wanted = f"job/{job}" if job else _first_page(workshop, person)
    if person == g.asking.person and not g.asking.asleep:
        return redirect(f"{way_up(request.path)}{wanted}", 303)
    return _sign_page(person, wanted)


def _sign_page(person: str, wanted: str, says: str = "") -> str:
    return render_template(
        "signing/sign.html",
        person=person,
        other=bool(person) and person != g.asking.person,
        wanted=wanted,
        says=says,
        secure=is_secure(),
        up=way_up(request.path),
    )
