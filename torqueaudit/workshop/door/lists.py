"""The lists that every door may show: jobs, people, vehicles, wrenches, procedures."""

from torqueaudit.book import queries
from torqueaudit.book.lists.records import JobRow, PersonRow, ProcedureRow, VehicleRow
from torqueaudit.workshop.door.workshop import Workshop


def jobs(workshop: Workshop) -> list[JobRow]:
    """Every job, the newest first."""
    return queries.jobs_list(workshop.book)


def people(workshop: Workshop) -> list[tuple[PersonRow, str]]:
    """Everybody, with the name where it is known."""
    rows = queries.people(workshop.book)
    return [(row, workshop.book.personal_of(f"person/{row.person}").get("name", "")) for row in rows]


def vehicles(workshop: Workshop) -> list[VehicleRow]:
    """Every vehicle."""
    return queries.vehicles(workshop.book)


def procedures(workshop: Workshop) -> list[ProcedureRow]:
    """Every procedure revision, with who read it against its source."""
    return queries.procedures(workshop.book)
