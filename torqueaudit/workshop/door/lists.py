"""The lists that every door may show: jobs, people, vehicles, wrenches, procedures."""

from torqueaudit.book import queries
from torqueaudit.book.lists.records import JobRow, ProcedureRow, VehicleRow
from torqueaudit.model.register.people import Person
from torqueaudit.workshop.door.workshop import Workshop


def jobs(workshop: Workshop) -> list[JobRow]:
    """Every job, the newest first."""
    return queries.jobs_list(workshop.book)


def jobs_before(workshop: Workshop, number: int, most: int) -> list[JobRow]:
    """At most so many jobs whose number lies below one, the newest first."""
    return queries.jobs_list(workshop.book, most, number)


def people(workshop: Workshop) -> list[tuple[Person, str]]:
    """Everybody by number, also who has left, with the name where it is known."""
    numbers = sorted((row.person for row in queries.people(workshop.book)), key=lambda number: (len(number), number))
    known = [person for number in numbers if (person := workshop.person(number))]
    return [(each, workshop.book.personal_of(f"person/{each.number}").get("name", "")) for each in known]


def vehicles(workshop: Workshop) -> list[VehicleRow]:
    """Every vehicle."""
    return queries.vehicles(workshop.book)


def vehicles_before(workshop: Workshop, number: int, most: int) -> list[VehicleRow]:
    """At most so many vehicles whose number lies below one, the newest first."""
    first = min(number, workshop.book.next_number("vehicle")) - 1
    named = [f"V-{each}" for each in range(first, max(first - most, 0), -1)]
    tags = queries.tags_of(workshop.book, named)
    return [VehicleRow(each, tags[each]) for each in named if each in tags]


def procedures(workshop: Workshop) -> list[ProcedureRow]:
    """Every procedure revision, with who read it against its source."""
    return queries.procedures(workshop.book)
