"""The schemas of the lists: jobs, people, vehicles, procedures, devices, programs, disclosures."""

from collections.abc import Mapping

from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.reports.json.schema.terms import (
    DAY,
    MOMENT,
    SHA256,
    TEXT,
    WHOLE,
    YES,
    Schema,
    many,
    maybe,
    of,
    record,
)

SCHEMAS: Mapping[str, Schema] = {
    "JobRow": record(
        "A job in the list of all, as it was last recorded. What today makes of it stands in the job itself.",
        {
            "job": WHOLE,
            "vehicle": maybe(TEXT),
            "procedure": maybe(TEXT),
            "title": maybe(TEXT),
            "token": maybe(TEXT),
            "state": maybe(TEXT),
            "opened_on": maybe(MOMENT),
            "last_recorded": maybe(MOMENT),
            "handed_over_on": maybe(MOMENT),
            "released": maybe(WHOLE),
            "due_on": maybe(DAY),
            "due_distance_m": maybe(WHOLE),
            "due_min": maybe(WHOLE),
            "odometer_m": maybe(WHOLE),
            "rechecked_on": maybe(MOMENT),
            "unchecked": maybe(WHOLE),
            "holds": maybe(TEXT),
            "withdrawn": maybe(WHOLE),
        },
    ),
    "Person": record(
        "Somebody by number. The name is empty for a program that was not let in to read names.",
        {
            "person": TEXT,
            "roles": TEXT,
            "supervisor": TEXT,
            "name": TEXT,
            "starts_on": maybe(DAY),
            "left_on": maybe(DAY),
            "locked": YES,
        },
    ),
    "VehicleRow": record("A vehicle by number.", {"vehicle": TEXT, "tag": maybe(TEXT)}),
    "Procedure": record(
        "A procedure revision, and who read it against its source.",
        {
            "digest": SHA256,
            "name": maybe(TEXT),
            "title": maybe(TEXT),
            "edition": maybe(TEXT),
            "read_by": maybe(TEXT),
            "read_on": maybe(TEXT),
        },
    ),
    "Device": record(
        "A phone or tablet that was let in.",
        {
            "device": TEXT,
            "name": TEXT,
            "admitted_on": DAY,
            "by": TEXT,
            "withdrawn_on": maybe(DAY),
            "locked": YES,
            "last_seen": maybe(MOMENT),
            "has_key": YES,
        },
    ),
    "Program": record(
        "Another program that was let in.",
        {
            "program": TEXT,
            "name": TEXT,
            "role": {"enum": [role.value for role in ProgramRole]},
            "admitted_on": DAY,
            "by": TEXT,
            "last_day": DAY,
            "withdrawn_on": maybe(DAY),
            "is_let_in": YES,
            "last_seen": maybe(MOMENT),
            "has_key": YES,
        },
    ),
    "Disclosure": record(
        "Who was shown what is known of whom: the fields, never what stood in them.",
        {"at": MOMENT, "by": TEXT, "door": TEXT, "of": TEXT, "shown": many(TEXT)},
    ),
    "Customer": record(
        "The card of a vehicle's owner.",
        {
            "vehicle": TEXT,
            "tag": TEXT,
            "model": TEXT,
            "known": many(of("Known")),
            "consent": TEXT,
            "reminded_by": many(TEXT),
            "others": many(of("OtherVehicle")),
            "due": many(TEXT),
            "said": many(of("SaidByOwner")),
            "reminders": many(of("SaidByOwner")),
            "disclosed": many(TEXT),
            "demo": YES,
        },
    ),
    "Known": record("Something that is known of an owner.", {"field": TEXT, "value": TEXT}),
    "OtherVehicle": record("Another vehicle of the same person.", {"vehicle": TEXT, "tag": TEXT}),
    "SaidByOwner": record(
        "What was said on either side.", {"on": DAY, "job": maybe(TEXT), "says": TEXT, "entry": WHOLE}
    ),
    "Found": record(
        "What was found by words; `more` where not everything that may be meant is among it.",
        {"typed": TEXT, "hits": many(of("Hit")), "more": YES},
    ),
    "Hit": record(
        "One thing that was found.",
        {
            "noun": TEXT,
            "number": TEXT,
            "title": TEXT,
            "vehicle": TEXT,
            "on": maybe(DAY),
            "reasons": many(of("Reason")),
        },
    ),
    "Reason": record(
        "Why something was found.",
        {
            "field": TEXT,
            "says": TEXT,
            "on": maybe(DAY),
            "entry": maybe(WHOLE),
            "struck": YES,
            "personal": YES,
        },
    ),
}
