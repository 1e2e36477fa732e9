"""The table of what is given as data: one row for each address, from which it is answered and described.

Each answer is made by the function that the command line prints with `--json`, so that one subject has one shape. Who
of the people opens an address says `web.access`; what a program has to be let in for says the row.
"""

from collections.abc import Mapping

from torqueaudit.model.register.programs import ProgramRole
from torqueaudit.model.shown.due_list import AHEAD, MOST_AHEAD
from torqueaudit.reports.json.schema.terms import TEXT, many, of
from torqueaudit.web.programs.asked import Answer, Word
from torqueaudit.web.programs.one import found, job, owner_card, record, signed, signed_table, today, vehicle, wrench
from torqueaudit.web.programs.whole import (
    devices,
    disclosed,
    events,
    jobs,
    open_jobs,
    people,
    person,
    procedures,
    programs,
    rechecks,
    settings,
    vehicles,
    wrenches,
)
from torqueaudit.web.programs.years import job_then, life, two_jobs
from torqueaudit.workshop.search.find import MOST as MOST_FOUND

MOST_ROWS, MOST_EVENTS = 1000, 1000
LARGEST = 10**15 - 1
ENTRY = {"minimum": 1, "maximum": LARGEST}
ONE_OTHER = ("one", "other")
NUMBER_OF_JOB = {**TEXT, "pattern": "^[0-9]{1,15}$", "maxLength": 15}
OF_JOB = (
    "job",
    "vehicle",
    "procedure",
    "title",
    "state",
    "opened_on",
    "last_recorded",
    "handed_over_on",
    "released",
    "due_on",
    "due_distance_m",
    "due_min",
    "odometer_m",
    "rechecked_on",
    "unchecked",
    "holds",
    "withdrawn",
)

OF_WRENCH = ("number", "tag", "kind", "state", "why", "reach", "min_nm", "max_nm", "due_on", "overload.says")
OF_PERSON = ("person", "roles", "supervisor", "name", "starts_on", "left_on", "locked")


def number(name: str, says: str, most: int, default: int, least: int = 1) -> Word:
    """A word that tells a whole number."""
    return Word(name, says, {"type": "integer", "minimum": least, "maximum": most, "default": default}, default)


def day(name: str, says: str) -> Word:
    """A word that tells a day."""
    return Word(name, says, {"type": "string", "format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"})


ANSWERS: Mapping[str, Answer] = {
    "job": Answer("/job/{number}", "A job with everything that stands on it.", job, of("Job")),
    "record": Answer(
        "/r/{token}/record",
        "The record that a label opens, by the token of the label. It shows what anybody may see who has the label.",
        record,
        of("Job"),
    ),
    "vehicle": Answer(
        "/vehicle/{number}", "A vehicle with what stands on it over all its jobs.", vehicle, of("Vehicle")
    ),
    "life_page": Answer(
        "/vehicle/{number}/life",
        "A vehicle over the years: every visit, ride and act, what was measured and fitted, and what stands on it.",
        life,
        of("Life"),
        query=(Word("as_of", "As it stood at this entry of the ledger.", {"type": "integer", **ENTRY}),),
    ),
    "job_then": Answer(
        "/job/{number}/as-of/{entry}", "A job as it stood at an entry of the ledger.", job_then, of("JobThen")
    ),
    "compare_page": Answer(
        "/compare",
        "Two jobs side by side, and what differs.",
        two_jobs,
        of("TwoJobs"),
        query=tuple(Word(name, f"The number of the {name} job.", NUMBER_OF_JOB, required=True) for name in ONE_OTHER),
    ),
    "wrench": Answer("/w/{number}", "A torque wrench.", wrench, of("Wrench")),
    "today": Answer(
        "/today",
        "What is to be decided now, re-checks that are due among it.",
        today,
        of("Today"),
        columns=(
            "vehicle",
            "tag",
            "section",
            *("job", "title", "holds", "says"),
            "days_late",
            "metres_late",
            "minutes_late",
            "call",
        ),
        rows=lambda told: [
            {"vehicle": each["vehicle"], "tag": each["tag"], **reason}
            for each in told["motorcycles"]
            for reason in each["reasons"]
        ],
    ),
    "signed": Answer(
        "/signed",
        "What was checked, released or handed over in some days; last week where none are told.",
        signed,
        of("SignOff"),
        query=(day("from", "The first day."), day("to", "The last day.")),
        table=signed_table,
        refused=422,
    ),
    "find_page": Answer(
        "/find",
        "What is found by words: plates, names, lots, remarks. What is shown of anybody is noted.",
        found,
        of("Found"),
        role=ProgramRole.READS_NAMES,
        query=(
            Word("find", "Three letters at least.", {**TEXT, "minLength": 3, "maxLength": 200}, required=True),
            number("most", "How many things at most.", 200, MOST_FOUND),
        ),
        refused=422,
    ),
    "owner_card": Answer(
        "/vehicle/{number}/owner",
        "The card of a vehicle's owner. That it was shown is noted.",
        owner_card,
        of("Customer"),
        role=ProgramRole.READS_NAMES,
    ),
    "motorcycles": Answer(
        "/bench",
        "The jobs that are open, or released and not handed over, the one that was worked on last first.",
        open_jobs,
        many(of("JobRow")),
        columns=OF_JOB,
    ),
    "jobs": Answer(
        "/jobs",
        "Every job, the newest first. Ask on with the number of the last one as `before`.",
        jobs,
        many(of("JobRow")),
        query=(
            number("before", "Jobs whose number lies below this.", LARGEST, LARGEST),
            number("most", "How many at most.", MOST_ROWS, 100),
        ),
        columns=OF_JOB,
    ),
    "rechecks": Answer(
        "/rechecks",
        "The re-checks that are due within some days, and those that are late, by their day.",
        rechecks,
        many(of("DueRecheck")),
        query=(number("ahead", "Within how many days.", MOST_AHEAD, AHEAD, least=0),),
        columns=(
            "job",
            "vehicle",
            "tag",
            "title",
            "holds",
            "state",
            "due_on",
            "due_distance_m",
            "due_min",
            "late_days",
            "late_m",
            "late_min",
            "estimated",
            "asked.on",
            "says",
        ),
    ),
    "vehicles": Answer(
        "/vehicles",
        "Every vehicle, the newest first. Ask on with the number of the last one as `before`: 12 for V-12.",
        vehicles,
        many(of("VehicleRow")),
        query=(
            number("before", "Vehicles whose number lies below this.", LARGEST, LARGEST),
            number("most", "How many at most.", MOST_ROWS, 100),
        ),
        columns=("vehicle", "tag"),
    ),
    "wrenches": Answer(
        "/wrenches",
        "Every torque wrench, with its state.",
        wrenches,
        many(of("WrenchLine")),
        columns=OF_WRENCH,
    ),
    "people": Answer(
        "/people",
        "Everybody who works here or did, by number. Names are given to a program that reads names alone.",
        people,
        many(of("Person")),
        columns=OF_PERSON,
    ),
    "procedures": Answer(
        "/procedures",
        "Every procedure revision.",
        procedures,
        many(of("Procedure")),
        columns=("digest", "name", "title", "edition", "read_by", "read_on"),
    ),
    "devices": Answer(
        "/devices",
        "The phones and tablets that were let in.",
        devices,
        many(of("Device")),
        role=None,
        columns=("device", "name", "admitted_on", "by", "withdrawn_on", "locked", "last_seen", "has_key"),
    ),
    "programs": Answer(
        "/programs",
        "The other programs that were let in.",
        programs,
        many(of("Program")),
        role=None,
        columns=("program", "name", "role", "admitted_on", "by", "last_day", "withdrawn_on", "is_let_in", "last_seen"),
    ),
    "disclosures": Answer(
        "/disclosures",
        "Who was shown what is known of whom, the newest first.",
        disclosed,
        many(of("Disclosure")),
        role=None,
        query=(number("most", "How many at most.", MOST_ROWS, 100),),
        columns=("at", "by", "door", "of", "shown"),
    ),
    "events": Answer(
        "/events",
        "Entries of the ledger in their order, from a number on, without what may name anybody.",
        events,
        of("Events"),
        query=(
            number("after", "The number that was read last; 0 for the beginning.", LARGEST, 0, least=0),
            number("most", "How many at most.", MOST_EVENTS, 100),
            Word(
                "hash",
                "What was given as `hash` with that number (64 zeros with 0): a backup that was put back shows.",
                {"type": "string", "pattern": "^[0-9a-f]{64}$", "maxLength": 64},
                "",
            ),
        ),
        refused=409,
    ),
    "office_wrenches": Answer(
        "/office/wrenches",
        "Every torque wrench, as a foreman keeps them.",
        wrenches,
        many(of("WrenchLine")),
        role=None,
        columns=OF_WRENCH,
    ),
    "office_wrench": Answer("/office/wrench/{number}", "A torque wrench.", wrench, of("Wrench"), role=None),
    "office_people": Answer(
        "/office/people",
        "Everybody, as a foreman keeps them.",
        people,
        many(of("Person")),
        role=None,
        columns=OF_PERSON,
    ),
    "office_person": Answer("/office/person/{number}", "Somebody by number.", person, of("Person"), role=None),
    "office_settings": Answer("/office/settings", "What the workshop has chosen.", settings, of("Settings"), role=None),
}
