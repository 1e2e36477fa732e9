"""The lists of the register as JSON, one object a row, and the settings."""

from typing import TYPE_CHECKING

from torqueaudit.book.lists.records import JobRow, ProcedureRow, VehicleRow
from torqueaudit.ledger.entry import stamp
from torqueaudit.model.register.settings import Settings
from torqueaudit.reports.json.values import Object, digits, iso

if TYPE_CHECKING:
    from datetime import date

    from torqueaudit.book.disclosures import Disclosure
    from torqueaudit.model.register.people import Person
    from torqueaudit.model.shown.revised import Change
    from torqueaudit.workshop.register.people import Ended
    from torqueaudit.workshop.signing.devices import DeviceView, Invitation
    from torqueaudit.workshop.signing.programs import LetIn, ProgramView
    from torqueaudit.workshop.vehicles.corrections import Changed, StruckOff


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
        "due_min": row.due_min,
        "odometer_m": row.odometer_m,
        "rechecked_on": row.rechecked_on,
        "unchecked": row.unchecked,
        "holds": row.holds,
        "withdrawn": row.withdrawn,
    }


def person_json(person: "Person", name: str, *, locked: bool) -> Object:
    """Somebody by number, with the name where it is known, and whether wrong PINs have locked them."""
    return {
        "person": person.number,
        "roles": person.role,
        "supervisor": person.supervisor,
        "name": name,
        "starts_on": iso(person.starts_on),
        "left_on": iso(person.left.on) if person.left else None,
        "locked": locked,
    }


def change_json(change: "Change") -> Object:
    """One thing in which two revisions of a procedure differ."""
    return {"piece": change.piece, "what": change.what, "before": change.before or None, "now": change.now or None}


def invitation_json(given: "Invitation", address: str) -> Object:
    """An invitation of a device, with the address that lets it in."""
    return {"name": given.name, "address": address, "until": stamp(given.until)}


def device_json(device: "DeviceView") -> Object:
    """A device that was let in; null where nobody worked on it, and where it was not withdrawn."""
    return {
        "device": device.number,
        "name": device.name,
        "admitted_on": device.admitted_on,
        "by": device.by,
        "withdrawn_on": device.withdrawn_on or None,
        "locked": device.locked,
        "last_seen": stamp(device.last_seen) if device.last_seen else None,
        "has_key": device.has_key,
    }


def let_in_json(given: "LetIn", role: str, last_day: "date") -> Object:
    """A program that was let in, with its key, which is told this once."""
    return {"program": given.program, "key": given.key, "role": role, "last_day": iso(last_day)}


def program_json(view: "ProgramView") -> Object:
    """Another program that was let in; null where it asked for nothing yet, and where it was not withdrawn."""
    program = view.program
    return {
        "program": program.number,
        "name": program.name,
        "role": program.role.value,
        "admitted_on": iso(program.admitted_on),
        "by": program.admitted_by,
        "last_day": iso(program.last_day),
        "withdrawn_on": iso(program.withdrawn.on) if program.withdrawn else None,
        "is_let_in": view.is_let_in,
        "last_seen": stamp(view.last_seen) if view.last_seen else None,
        "has_key": view.has_key,
    }


def ended_json(ended: "Ended") -> Object:
    """What follows where somebody has left."""
    return {
        "person": ended.person,
        "left_on": iso(ended.on),
        "trainees": list(ended.trainees),
        "entries": list(ended.entries),
    }


def disclosure_json(each: "Disclosure") -> Object:
    """When (UTC), to whom and by which door something known of somebody was shown, and which fields."""
    return {
        "at": each.at,
        "by": each.by,
        "door": each.door,
        "of": each.subject.partition("/")[2],
        "shown": list(each.shown),
    }


def vehicle_json(row: VehicleRow) -> Object:
    """A vehicle by number."""
    return {"vehicle": row.vehicle, "tag": row.tag}


def vehicle_changed_json(done: "Changed") -> Object:
    """A vehicle as it is known now; of each job judged otherwise why its sources do not hold, "" where they do."""
    vehicle = done.vehicle
    return {
        "vehicle": vehicle.number,
        "tag": vehicle.tag,
        "model": vehicle.model,
        "year": vehicle.year,
        "entry": done.entry,
        "personal": list(done.personal),
        "jobs": [{"job": each.job, "before": each.before, "now": each.now} for each in done.rejudged],
    }


def struck_of_vehicle_json(struck: "StruckOff") -> Object:
    """Something that was said of a vehicle and taken back."""
    return {"vehicle": struck.vehicle, "entry": struck.entry, "said": struck.said}


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
        "workshop_address": chosen.workshop_address,
        "own_tolerance_percent": digits(chosen.own_tolerance_percent),
        "late_minutes": chosen.late_minutes,
        "untouched_days": chosen.untouched_days,
        "due_soon_days": chosen.due_soon_days,
        "check_seconds": chosen.check_seconds,
        "single_handed": chosen.single_handed,
        "guard_factor": digits(chosen.guard_factor),
        "correct_deviation": chosen.correct_deviation,
        "calibration_months": chosen.calibration_months,
        "calibration_cycles": chosen.calibration_cycles,
        "wrench_due_soon_days": chosen.wrench_due_soon_days,
        "backup_days": chosen.backup_days,
        "telephone": chosen.telephone,
        "mail_address": chosen.mail_address,
        "labels_published": chosen.labels_published,
        "weekly_reminders": chosen.weekly_reminders,
        "quiet_from": chosen.quiet_from,
        "quiet_until": chosen.quiet_until,
        "label_printer": chosen.label_printer,
        "label_stock": chosen.label_stock,
        "upper_case_labels": chosen.upper_case_labels,
        "pin_at_terminal": chosen.pin_at_terminal,
        "disclosure_days": chosen.disclosure_days,
        "demo": chosen.demo,
        "expected_plugins": list(chosen.expected_plugins),
        "blocked_plugins": list(chosen.blocked_plugins),
    }
