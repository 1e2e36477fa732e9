"""Revisions of a procedure: which one came before, and what differs in meaning between two."""

from typing import NamedTuple

from torqueaudit.book import queries
from torqueaudit.model.shown.revised import Change, changes_between
from torqueaudit.workshop.door.workshop import Workshop


class Revision(NamedTuple):
    """A revision, the one that was entered before it under the same name ("": none), and what differs between them."""

    digest: str
    before: str
    changes: tuple[Change, ...]


def revision_of(workshop: Workshop, start: str) -> Revision:
    """A revision against the one that was entered before it. Raises Refused for an unknown one."""
    full = workshop.full_digest(start)
    name = workshop.procedure(full).procedure.name
    rows = [row.digest for row in queries.procedures(workshop.book, name)]
    earlier = rows[: rows.index(full)][-1:] if full in rows else []
    if not earlier:
        return Revision(full, "", ())
    return Revision(full, earlier[0], compare(workshop, earlier[0], full))


def compare(workshop: Workshop, old: str, new: str) -> tuple[Change, ...]:
    """In what one procedure differs in meaning from another. Raises Refused for an unknown one."""
    before, now = (workshop.procedure(workshop.full_digest(each)).procedure for each in (old, new))
    return changes_between(before, now)
