"""The page of the workshop's own authority: what a phone accepts once, and what that is held against."""

from typing import TYPE_CHECKING

from flask import render_template, request

from torqueaudit.model.shown.label import ADMIT, base_of
from torqueaudit.web.addresses import way_up
from torqueaudit.web.tls.authority import Authority, NoAuthority, authority_of, names_of
from torqueaudit.web.told import Told, page_of

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.web.tls.certificates import Certificate
    from torqueaudit.workshop.door.workshop import Workshop

LISTENS_ON = "LISTENS_ON"  # in the configuration: the address that was asked for beside the base address, or ""
DER, PEM = "application/x-x509-ca-cert", "application/pem-certificate-chain"  # by which phones ask; RFC 8555, 9.1
NONE = Told(
    "No authority here",
    "This server has no certificates of its own. Where a proxy in front of it speaks https, ask whose they are.",
    404,
)


def add_authority_page(app: "Flask", workshop: "Workshop") -> None:
    """Add the page, and the certificate in both forms."""

    @app.get("/authority")
    def authority() -> "ResponseReturnValue":
        """Say how a phone accepts the authority, and which fingerprint it has to have."""
        found = _found(app, workshop)
        if found is None:
            return page_of(NONE, form=False)
        names = ", ".join(sorted(found.names))
        below = ", ".join(f".{host}" for host in found.hosts)
        until = found.ends.date().isoformat()
        pairs = found.fingerprint.split(":")
        up = way_up(request.path)
        return render_template("authority.html", pairs=pairs, names=names, below=below, until=until, up=up)

    @app.get("/authority.crt", defaults={"form": "crt"})
    @app.get("/authority.pem", defaults={"form": "pem"})
    def certificate(form: str) -> "ResponseReturnValue":
        """Give the certificate, never its key."""
        found = _found(app, workshop)
        if found is None:
            return page_of(NONE, form=False)
        body, kind = (found.der, DER) if form == "crt" else (found.pem, PEM)
        name = f'attachment; filename="torqueaudit-authority.{form}"'
        return body, {"Content-Type": kind, "Content-Disposition": name}


def authority_here(app: "Flask", workshop: "Workshop") -> Authority:
    """The authority for the addresses by which these pages are opened. Raises NoAuthority, BookError."""
    names = names_of(base_of(workshop.settings, ADMIT), app.config.get(LISTENS_ON, ""))
    return authority_of(workshop.book.path, names, workshop.clock)


def _found(app: "Flask", workshop: "Workshop") -> "Certificate | None":
    try:
        return authority_here(app, workshop).find()
    except NoAuthority as error:
        app.logger.error("%s", error)  # noqa: TRY400  # the sentence says all
        return None
