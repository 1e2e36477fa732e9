"""The procedures of the office: what holds, what is being written, and one begun."""

from functools import partial
from typing import TYPE_CHECKING

from torqueaudit.model.act import Say
from torqueaudit.web.office.procedures.once import Once
from torqueaudit.web.office.told import Sent, page_of_office, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.door.lists import procedures
from torqueaudit.workshop.register.drafts import begin_draft, begin_revision, drafts

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.book.lists.records import ProcedureRow
    from torqueaudit.workshop.door.workshop import Workshop


def add_procedure_list(app: "Flask", workshop: "Workshop") -> None:
    """Add the page of all procedures."""
    once = Once()

    @app.get("/office/procedures")
    def office_procedures() -> str:
        """List the latest revision of every procedure, and the drafts."""
        return _page(workshop)

    @app.post("/office/procedures")
    def office_procedure_begun() -> "ResponseReturnValue":
        """Begin a draft, and lead to it."""
        tells = {"begin": once.told(partial(_begun, workshop)), "revise": once.told(partial(_revised, workshop))}
        return told(workshop, "", tells, partial(_page, workshop))


def _page(workshop: "Workshop", sent: Sent | None = None) -> str:
    return page_of_office(
        workshop, "procedures.html", sent, procedures=_latest(procedures(workshop)), drafts=drafts(workshop)
    )


def _latest(rows: "list[ProcedureRow]") -> "list[ProcedureRow]":
    """The latest revision of each name, in the order of the names."""
    return list({row.name: row for row in rows}.values())


def _begun(workshop: "Workshop", typed: Typed, say: Say) -> str:
    return f"office/draft/{begin_draft(workshop, typed.one('name'), typed.one('title'), say)}"


def _revised(workshop: "Workshop", typed: Typed, say: Say) -> str:
    return f"office/draft/{begin_revision(workshop, typed.one('procedure'), say)}"
