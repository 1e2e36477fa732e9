"""All pages of procedures."""

from typing import TYPE_CHECKING

from torqueaudit.web.office.procedures.all import add_procedure_list
from torqueaudit.web.office.procedures.bench import add_draft_bench
from torqueaudit.web.office.procedures.draft import add_draft
from torqueaudit.web.office.procedures.one import add_procedure_page
from torqueaudit.web.office.procedures.piece import add_draft_piece
from torqueaudit.web.office.procedures.table import add_draft_table

if TYPE_CHECKING:
    from flask import Flask

    from torqueaudit.workshop.door.workshop import Workshop


def add_procedure_pages(app: "Flask", workshop: "Workshop") -> None:
    """Add the list, the drafts, and the page of one procedure."""
    add_procedure_list(app, workshop)
    add_draft(app, workshop)
    add_draft_table(app, workshop)
    add_draft_bench(app, workshop)
    add_draft_piece(app, workshop)
    add_procedure_page(app, workshop)
