"""The schema of a wrench with its calibration and what it did, and of its row in the list of all."""

from collections.abc import Mapping

from torqueaudit.reports.json.schema.terms import DAY, DIGITS, TEXT, WHOLE, YES, Schema, many, maybe, of, record

LINE: Mapping[str, Schema] = {
    "number": TEXT,
    "tag": TEXT,
    "kind": TEXT,
    "state": TEXT,
    "why": TEXT,
}

SCHEMAS: Mapping[str, Schema] = {
    "Wrench": record(
        "A torque wrench: what it is, whether it may be used today, and what it did.",
        {
            **LINE,
            "owner": TEXT,
            "construction": TEXT,
            "iso_class": TEXT,
            "permissible_percent": DIGITS,
            "min_nm": maybe(DIGITS),
            "max_nm": maybe(DIGITS),
            "scales": many(of("Scale")),
            "lever_mm": maybe(DIGITS),
            "lever_expanded_mm": maybe(DIGITS),
            "direction": TEXT,
            "due_on": maybe(DAY),
            "cycles": WHOLE,
            "cycles_allowed": WHOLE,
            "calibration": maybe(of("Calibration")),
            "history": many(of("EventOfWrench")),
            "uses": many(of("Use")),
            "doubtful": many(of("Use")),
            "not_known": many(of("Use")),
            "put_right": many(of("Use")),
            "demo": YES,
            "reach": TEXT,
            "direction_stated": YES,
            "order_asked": many(of("OrderAsked")),
            "overload": maybe(of("Overload")),
            "drift": many(of("Drift")),
            "interval": maybe(of("Interval")),
        },
    ),
    "WrenchLine": record(
        "A torque wrench in the list of all.",
        {
            **LINE,
            "reach": TEXT,
            "min_nm": maybe(DIGITS),
            "max_nm": maybe(DIGITS),
            "due_on": maybe(DAY),
            "overload": maybe(of("Overload")),
        },
    ),
    "Scale": record("A scale of a wrench.", {"unit": TEXT, "division": maybe(DIGITS), "unit_nm": maybe(DIGITS)}),
    "Calibration": record(
        "The calibration that a wrench is used by.",
        {
            "entry": WHOLE,
            "on": DAY,
            "due_on": DAY,
            "certificate": TEXT,
            "laboratory": TEXT,
            "decision_rule": TEXT,
            "as_found": many(of("Point")),
            "as_left": many(of("Point")),
            "adapter": TEXT,
            "paper": TEXT,
            "hour": TEXT,
            "direction": TEXT,
            "reference": TEXT,
            "temperature_c": maybe(DIGITS),
            "technician": TEXT,
        },
    ),
    "Point": record(
        "One point of a calibration; deviations in percent of the reference.",
        {
            "at": TEXT,
            "unit": TEXT,
            "references": many(DIGITS),
            "shown_nm": DIGITS,
            "references_nm": many(DIGITS),
            "deviation_percent": DIGITS,
            "worst_percent": DIGITS,
            "expanded_percent": maybe(DIGITS),
            "interval_percent": maybe(DIGITS),
            "outside": YES,
        },
    ),
    "EventOfWrench": record(
        "Something that happened to a wrench.", {"entry": WHOLE, "on": DAY, "what": TEXT, "says": TEXT}
    ),
    "Use": record(
        "A pass that was done with a wrench.",
        {
            "job": WHOLE,
            "vehicle": TEXT,
            "position": TEXT,
            "on": DAY,
            "entry": WHOLE,
            "doubt": TEXT,
            "inside": YES,
            "known": YES,
            "verdict": TEXT,
            "applied_nm": maybe(DIGITS),
            "expanded_nm": maybe(DIGITS),
            "final_nm": maybe(DIGITS),
            "final_expanded_nm": maybe(DIGITS),
        },
    ),
    "OrderAsked": record(
        "Two looks at a wrench on one day whose order nobody told.", {"entries": many(WHOLE), "out": YES, "says": TEXT}
    ),
    "Overload": record(
        "A use above the highest value of a wrench.",
        {
            "job": TEXT,
            "position": TEXT,
            "on": DAY,
            "entry": WHOLE,
            "shown": TEXT,
            "shown_nm": maybe(DIGITS),
            "says": TEXT,
        },
    ),
    "Drift": record(
        "How far a point moved from one calibration to the next.",
        {
            "at": TEXT,
            "shown_nm": DIGITS,
            "left_on": DAY,
            "found_on": DAY,
            "moved_percent": DIGITS,
            "expanded_percent": maybe(DIGITS),
            "normalised": maybe(DIGITS),
        },
    ),
    "Interval": record(
        "How long a calibration holds, and what its history proposes.",
        {"months": WHOLE, "proposed": WHOLE, "says": TEXT},
    ),
}
