"""What is given as data of all there are: jobs, vehicles, wrenches, people, procedures, devices, entries."""

from typing import TYPE_CHECKING, Any, cast

from torqueaudit.book import queries
from torqueaudit.read.number import read_person_number
from torqueaudit.reports.json.ledger import events_json
from torqueaudit.reports.json.recheck import due_recheck_json
from torqueaudit.reports.json.register import (
    device_json,
    disclosure_json,
    job_row_json,
    person_json,
    procedure_json,
    program_json,
    settings_json,
    vehicle_json,
)
from torqueaudit.reports.json.wrench import wrench_line_json
from torqueaudit.web.programs.one import shown
from torqueaudit.workshop.door import lists
from torqueaudit.workshop.door.events import events_after
from torqueaudit.workshop.door.refusal import nobody
from torqueaudit.workshop.night.due_list import rechecks_due
from torqueaudit.workshop.search.disclosures import disclose, disclosures_of
from torqueaudit.workshop.signing.devices import show_devices
from torqueaudit.workshop.signing.pins import is_locked
from torqueaudit.workshop.signing.programs import show_programs
from torqueaudit.workshop.wrenches.view import list_wrenches

if TYPE_CHECKING:
    from torqueaudit.reports.json.values import Object
    from torqueaudit.web.programs.asked import Asked


def open_jobs(asked: "Asked") -> "list[Object]":
    """The jobs with open work."""
    return [job_row_json(row) for row in queries.open_jobs(asked.workshop.book)]


def jobs(asked: "Asked") -> "list[Object]":
    """Some jobs, the newest first."""
    before, most = (cast("Any", asked.query[name]) for name in ("before", "most"))
    return [job_row_json(row) for row in lists.jobs_before(asked.workshop, before, most)]


def rechecks(asked: "Asked") -> "list[Object]":
    """The re-checks that are due soon, or late."""
    due = rechecks_due(asked.workshop, cast("Any", asked.query["ahead"]))
    return [due_recheck_json(shown(asked, each)) for each in due]


def vehicles(asked: "Asked") -> "list[Object]":
    """Some vehicles, the newest first."""
    before, most = (cast("Any", asked.query[name]) for name in ("before", "most"))
    return [vehicle_json(row) for row in lists.vehicles_before(asked.workshop, before, most)]


def wrenches(asked: "Asked") -> "list[Object]":
    """Every wrench."""
    return [wrench_line_json(row) for row in list_wrenches(asked.workshop)]


def people(asked: "Asked") -> "list[Object]":
    """Everybody. A program is given names only where it was let in to read them, which is noted."""
    workshop, asking = asked.workshop, asked.asking
    rows = lists.people(workshop)
    if asking.program and asking.reads_names:
        disclose(workshop, asked.say, {f"person/{row.number}": ["name"] for row, name in rows if name})
    named = asking.reads_names or not asking.program
    return [person_json(row, name if named else "", locked=is_locked(workshop, row.number)) for row, name in rows]


def person(asked: "Asked") -> "Object":
    """Somebody, to a foreman."""
    number = read_person_number(asked.address["number"])
    found = asked.workshop.person(number)
    if found is None:
        raise nobody(number)
    name = asked.workshop.book.personal_of(f"person/{number}").get("name", "")
    return person_json(found, name, locked=is_locked(asked.workshop, number))


def settings(asked: "Asked") -> "Object":
    """What the workshop has chosen."""
    return settings_json(asked.workshop.settings)


def procedures(asked: "Asked") -> "list[Object]":
    """Every procedure revision."""
    return [procedure_json(row) for row in lists.procedures(asked.workshop)]


def devices(asked: "Asked") -> "list[Object]":
    """Every device."""
    return [device_json(row) for row in show_devices(asked.workshop)]


def programs(asked: "Asked") -> "list[Object]":
    """Every program."""
    return [program_json(row) for row in show_programs(asked.workshop)]


def disclosed(asked: "Asked") -> "list[Object]":
    """The newest disclosures."""
    return [disclosure_json(row) for row in disclosures_of(asked.workshop, "", cast("Any", asked.query["most"]))]


def events(asked: "Asked") -> "Object":
    """Entries of the ledger behind a number."""
    after, most, hash_ = (cast("Any", asked.query[name]) for name in ("after", "most", "hash"))
    return events_json(asked.workshop.book.site, events_after(asked.workshop, after, most, hash_))
