"""The schemas of what became of a vehicle over the years: its life, a job of the past, two jobs side by side."""

from collections.abc import Mapping

from torqueaudit.reports.json.schema.job import JOB
from torqueaudit.reports.json.schema.terms import DIGITS, MOMENT, TEXT, WHOLE, YES, Schema, many, maybe, of, record
from torqueaudit.reports.json.schema.vehicle import PRESENT, VEHICLE

SCHEMAS: Mapping[str, Schema] = {
    "Life": record(
        "A vehicle over the years: what stands on it, its visits and rides, what was measured and fitted.",
        {
            **VEHICLE,
            "riding": TEXT,
            "fasteners": many(of("FastenerOfLife")),
            "entry": WHOLE,
            "stretches": many(of("Stretch")),
            "measured": many(of("Series")),
            "parts": many(of("PartOn")),
        },
    ),
    "FastenerOfLife": record(
        "A fastener as it stands now, and what is open on it.",
        {**PRESENT, "open": many(TEXT)},
    ),
    "Stretch": record(
        "Some time in which a vehicle was here, or away, and what was told of it.",
        {
            "here": YES,
            "gone": YES,
            "since": maybe(MOMENT),
            "until": maybe(MOMENT),
            "read_first": TEXT,
            "read_last": TEXT,
            "ran": TEXT,
            "jobs": many(TEXT),
            "course": many(of("Happening")),
        },
    ),
    "Happening": record(
        "One act; `struck` and `late` are empty where it was neither.",
        {
            "job": TEXT,
            "entries": many(WHOLE),
            "by": TEXT,
            "when": MOMENT,
            "recorded_at": MOMENT,
            "says": TEXT,
            "why": TEXT,
            "late": TEXT,
            "struck": TEXT,
        },
    ),
    "Series": record(
        "What was measured under one key in one unit, the oldest first.",
        {"key": TEXT, "name": TEXT, "unit": TEXT, "taken": many(of("ValueTaken"))},
    ),
    "ValueTaken": record(
        "A value with the limits of its job, and how it was judged then.",
        {
            "job": TEXT,
            "entry": WHOLE,
            "by": TEXT,
            "when": MOMENT,
            "value": DIGITS,
            "says": TEXT,
            "limits": TEXT,
            "verdict": TEXT,
            "at": TEXT,
            "late": TEXT,
        },
    ),
    "PartOn": record(
        "A part, since when it is on, and how far it has run; `until` is null while it is.",
        {
            "key": TEXT,
            "name": TEXT,
            "part": TEXT,
            "lot": TEXT,
            "new": YES,
            "attributes": {"type": "object", "additionalProperties": TEXT},
            "job": TEXT,
            "entry": WHOLE,
            "since": MOMENT,
            "at": TEXT,
            "until": maybe(MOMENT),
            "replaced_by": TEXT,
            "ran": TEXT,
        },
    ),
    "JobThen": record(
        "A job as it stood at an entry of the ledger, judged by the rules of today, with its course up to there.",
        {
            **JOB,
            "as_of": WHOLE,
            "as_of_recorded_at": MOMENT,
            "riding": TEXT,
            "newest": WHOLE,
            "before": maybe(WHOLE),
            "after": maybe(WHOLE),
            "course": many(of("Happening")),
        },
    ),
    "TwoJobs": record(
        "Two jobs side by side, and what differs in words.",
        {
            "one": TEXT,
            "other": TEXT,
            "demo": YES,
            "differences": many(TEXT),
            "course": many(of("ComparedRow")),
            "works": many(of("ComparedWork")),
        },
    ),
    "ComparedWork": record(
        "A piece of work of both jobs, or of the one job that `only` names.",
        {"kind": TEXT, "name": TEXT, "only": TEXT, "differing": many(TEXT), "rows": many(of("ComparedRow"))},
    ),
    "ComparedRow": record(
        "One thing told of both; `differs` is empty where it does not.",
        {"what": TEXT, "one": TEXT, "other": TEXT, "differs": TEXT},
    ),
}
