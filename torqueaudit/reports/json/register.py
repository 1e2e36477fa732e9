"""The lists of the register as JSON, one object a row, and the settings."""

from typing import TYPE_CHECKING

from torqueaudit.book.lists.records import JobRow, ProcedureRow, VehicleRow
from torqueaudit.model.register.settings import Settings
from torqueaudit.reports.json.values import Object, digits, iso

if TYPE_CHECKING:
    from torqueaudit.model.register.people import Person
    from torqueaudit.workshop.register.people import Ended


def job_row_json(row: JobRow) -> Object:
    """A job in the list of all."""
    return {
        "job": row.job,
        "vehicle": row.vehicle,
        "procedure": row.procedure,
        "title": row.title,
        "token": row.token,
        "state": row.state,
        "opened_on": row.opened_on,
        "last_recorded": row.last_recorded,
        "handed_over_on": row.handed_over_on,
        "released": row.released,
        "due_on": row.due_on,
        "due_distance_m": row.due_distance_m,
        "odometer_m": row.odometer_m,
        "rechecked_on": row.rechecked_on,
        "unchecked": row.unchecked,
        "holds": row.holds,
        "withdrawn": row.withdrawn,
    }


def person_json(person: "Person", name: str) -> Object:
    """Somebody by number, with the name where it is known."""
    return {
        "person": person.number,
        "roles": person.role,
        "supervisor": person.supervisor,
        "name": name,
        "starts_on": iso(person.starts_on),
        "left_on": iso(person.left.on) if person.left else None,
    }


def ended_json(ended: "Ended") -> Object:
    """What follows where somebody has left."""
    return {
        "person": ended.person,
        "left_on": iso(ended.on),
        "trainees": list(ended.trainees),
        "entries": list(ended.entries),
    }


def vehicle_json(row: VehicleRow) -> Object:
    """A vehicle by number."""
    return {"vehicle": row.vehicle, "tag": row.tag}


def procedure_json(row: ProcedureRow) -> Object:
    """A procedure revision."""
    return {
        "digest": row.digest,
        "name": row.name,
        "title": row.title,
        "edition": row.edition,
        "read_by": row.read_by,
        "read_on": row.read_on,
    }


def settings_json(chosen: Settings) -> Object:
    """What the workshop has chosen."""
    return {
        "zone": chosen.zone,
        "base_address": chosen.base_address,
        "own_tolerance_percent": digits(chosen.own_tolerance_percent),
        "late_minutes": chosen.late_minutes,
        "untouched_days": chosen.untouched_days,
        "due_soon_days": chosen.due_soon_days,
        "single_handed": chosen.single_handed,
        "guard_factor": digits(chosen.guard_factor),
        "correct_deviation": chosen.correct_deviation,
        "calibration_months": chosen.calibration_months,
        "calibration_cycles": chosen.calibration_cycles,
        "wrench_due_soon_days": chosen.wrench_due_soon_days,
        "telephone": chosen.telephone,
        "upper_case_labels": chosen.upper_case_labels,
        "demo": chosen.demo,
        "expected_plugins": list(chosen.expected_plugins),
        "blocked_plugins": list(chosen.blocked_plugins),
    }
