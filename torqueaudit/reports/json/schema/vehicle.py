"""The schema of a vehicle: where it is, and what stands on each of its fasteners."""

from collections.abc import Mapping

from torqueaudit.reports.json.schema.job import FASTENER, FINDING
from torqueaudit.reports.json.schema.terms import DAY, MOMENT, TEXT, WHOLE, YES, Schema, many, maybe, of, record

SCHEMAS: Mapping[str, Schema] = {
    "Vehicle": record(
        "A vehicle with what stands on it over all its jobs. It names nobody.",
        {
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
        },
    ),
    "StandingStop": record("A stop that stands, and the job that it stands on.", {"job": TEXT, **FINDING}),
    "PresentFastener": record(
        "A fastener as it stands now, from which job, and whether a release signs it.",
        {"job": TEXT, "signed": YES, **FASTENER},
    ),
    "JobOfVehicle": record(
        "A job of a vehicle, the newest first.",
        {"job": TEXT, "title": TEXT, "state": TEXT, "opened_on": DAY, "recheck": TEXT},
    ),
}
