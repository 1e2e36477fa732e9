"""The schema of a vehicle: where it is, and what stands on each of its fasteners."""

from collections.abc import Mapping

from torqueaudit.reports.json.schema.job import FASTENER, FINDING
from torqueaudit.reports.json.schema.terms import DAY, MOMENT, TEXT, WHOLE, YES, Schema, many, maybe, of, record

VEHICLE: Mapping[str, Schema] = {
    "vehicle": TEXT,
    "site": TEXT,
    "tag": TEXT,
    "model": TEXT,
    "year": maybe(WHOLE),
    "here": YES,
    "since": maybe(MOMENT),
    "gone": YES,
    "instrument": TEXT,
    "odometer_m": maybe(WHOLE),
    "run_min": maybe(WHOLE),
    "demo": YES,
    "stops": many(of("StandingStop")),
    "unsigned": many(TEXT),
    "fasteners": many(of("PresentFastener")),
    "jobs": many(of("JobOfVehicle")),
    "head": TEXT,
    "asked_at": MOMENT,
}
PRESENT: Mapping[str, Schema] = {"job": TEXT, "signed": YES, **FASTENER}

SCHEMAS: Mapping[str, Schema] = {
    "Vehicle": record("A vehicle with what stands on it over all its jobs. It names nobody.", VEHICLE),
    "StandingStop": record("A stop that stands, and the job that it stands on.", {"job": TEXT, **FINDING}),
    "PresentFastener": record(
        "A fastener as it stands now, from which job, and whether a release signs it.",
        PRESENT,
    ),
    "JobOfVehicle": record(
        "A job of a vehicle, the newest first.",
        {"job": TEXT, "title": TEXT, "state": TEXT, "opened_on": DAY, "recheck": TEXT},
    ),
}
