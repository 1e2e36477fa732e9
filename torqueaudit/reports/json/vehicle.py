"""A vehicle as JSON: where it is, and what stands on each of its fasteners."""

from torqueaudit.model.shown.vehicle import JobOfVehicle, StandingStop, VehicleView
from torqueaudit.reports.json.job import fastener_json, finding_json
from torqueaudit.reports.json.values import Object, iso


def vehicle_view_json(view: VehicleView) -> Object:
    """Everything about one vehicle; it names nobody."""
    return {
        "vehicle": view.number,
        "site": view.book.site,
        "tag": view.tag,
        "model": view.model,
        "year": view.year,
        "here": view.presence.here,
        "since": iso(view.presence.since),
        "gone": view.presence.gone,
        "instrument": view.instrument.value,
        "odometer_m": view.odometer_m,
        "run_min": view.run_min,
        "demo": view.book.demo,
        "stops": [_stop(each) for each in view.stops],
        "unsigned": list(view.unsigned),
        "fasteners": [
            {"job": each.job, "signed": each.signed, **fastener_json(each.fastener)} for each in view.fasteners
        ],
        "jobs": [_job(each) for each in view.jobs],
        "head": view.book.head,
        "asked_at": iso(view.book.asked_at),
    }


def _stop(stop: StandingStop) -> Object:
    return {"job": stop.job, **finding_json(stop.finding)}


def _job(job: JobOfVehicle) -> Object:
    return {
        "job": job.job,
        "title": job.title,
        "state": job.state,
        "opened_on": job.opened_on,
        "recheck": job.recheck,
    }
