"""In which form an address is to be answered: as a page, or as data for another program."""

from flask import request

PAGE, JSON, CSV = "page", "json", "csv"
KINDS = {PAGE: "text/html", JSON: "application/json", CSV: "text/csv"}  # as Accept names them
PROBLEM = "application/problem+json"  # RFC 9457
FORM = "as"  # the word of an address that says it, for whoever can set no header


def shows_key() -> bool:
    """Whether another program asks: it shows its key, which no browser does by itself.

    What a proxy in front asks for in another scheme, such as Basic, is none of ours.
    """
    return request.headers.get("Authorization", "").lower().split(" ")[0] == "bearer"


def form_wanted() -> str:
    """The form that is asked for, by the address or else by Accept (RFC 9110); "" where none of ours is.

    A program that names none is answered with JSON, anybody else with a page.
    """
    if FORM in request.args:
        told = request.args[FORM]
        return told if told in KINDS else ""
    forms = (JSON, CSV, PAGE) if shows_key() else (PAGE, JSON, CSV)
    accepted = request.accept_mimetypes
    if not accepted.provided:
        return forms[0]
    best = accepted.best_match([KINDS[form] for form in forms])
    if best is None:
        return JSON if accepted.quality(PROBLEM) else ""
    return next(form for form in forms if KINDS[form] == best)


def wants_data() -> bool:
    """Whether a refusal is to be told as data as well."""
    return form_wanted() not in (PAGE, "") or (shows_key() and form_wanted() != PAGE)
