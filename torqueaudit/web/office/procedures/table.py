"""A table pasted into a draft: each row is looked at with its line, then all of them are added."""

from functools import partial
from typing import TYPE_CHECKING, Any

from flask import request

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.procedure.draft.fields import SOURCE
from torqueaudit.model.procedure.draft.pasted import Row, columns, rows_in
from torqueaudit.model.procedure.words import FIELDS
from torqueaudit.web.office.procedures.draft import summary
from torqueaudit.web.office.procedures.once import Once
from torqueaudit.web.office.told import Sent, page_of_office, told
from torqueaudit.web.typed import Typed
from torqueaudit.workshop.register.drafts import add_work, look_at_draft, look_with

if TYPE_CHECKING:
    from flask import Flask
    from flask.typing import ResponseReturnValue

    from torqueaudit.workshop.door.workshop import Workshop

TABLE, ADD = "table", "add"


def add_draft_table(app: "Flask", workshop: "Workshop") -> None:
    """Add the page that takes a table."""
    once = Once()

    @app.get("/office/draft/<name>/table")
    def office_draft_table(name: str) -> str:
        """Show where a table is pasted."""
        return _page(workshop, name)

    @app.post("/office/draft/<name>/table")
    def office_draft_pasted(name: str) -> "ResponseReturnValue":
        """Look at the rows, or add them."""
        typed = Typed(request.form)
        if typed.one("act") == ADD:
            tells: dict[str, Any] = {ADD: once.told(partial(_added, workshop, name))}
            return told(workshop, "", tells, partial(_page, workshop, name))
        try:
            return _page(workshop, name, rows=_rows(workshop, name, typed), pasted=_pasted(typed))
        except Refused as refused:
            return _page(workshop, name, Sent(typed, str(refused), TABLE)), 422


def _page(
    workshop: "Workshop", name: str, sent: Sent | None = None, rows: "list[Row] | None" = None, pasted: str = ""
) -> str:
    pieces = look_with(workshop, name, [each.work for each in rows]) if rows else ()
    return page_of_office(
        workshop,
        "draft_table.html",
        sent,
        draft=look_at_draft(workshop, name),
        pasted=_pasted(sent.typed) if sent else pasted,
        looked=list(zip(rows or (), pieces, strict=True)),
        wrong=sum(len(piece.wrong) for piece in pieces),
        columns=list(dict.fromkeys(field.says or FIELDS[field.key] for field in columns().values())),
        summary=summary,
        words=FIELDS,
    )


def _pasted(typed: Typed) -> str:
    """What was pasted, with the empty cells at its beginning and end."""
    return "\n".join(typed.whole(TABLE))


def _rows(workshop: "Workshop", name: str, typed: Typed) -> list[Row]:
    sources = [each.key for each in look_at_draft(workshop, name).pieces if each.kind == SOURCE]
    return rows_in(_pasted(typed), sources[0] if len(sources) == 1 else "")


def _added(workshop: "Workshop", name: str, typed: Typed, say: Say) -> str:
    rows = _rows(workshop, name, typed)
    add_work(workshop, name, typed.one("draft"), [each.work for each in rows], say)
    return f"office/draft/{name}"
