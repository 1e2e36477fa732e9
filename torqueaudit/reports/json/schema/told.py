"""The schemas of what is told of many: what is to be decided today, and what was signed for in some days."""

from collections.abc import Mapping

from torqueaudit.reports.json.schema.terms import DAY, MOMENT, TEXT, WHOLE, YES, Schema, many, maybe, of, record

SAID: Mapping[str, Schema] = {
    "job": TEXT,
    "title": TEXT,
    "holds": TEXT,
    "says": TEXT,
    "days_late": maybe(WHOLE),
    "metres_late": maybe(WHOLE),
    "minutes_late": maybe(WHOLE),
    "call": TEXT,
}
BY: Mapping[str, Schema] = {"by": TEXT, "when": MOMENT, "entry": WHOLE}

SCHEMAS: Mapping[str, Schema] = {
    "Today": record(
        "What is to be decided now, the most urgent first.",
        {
            "date": DAY,
            "site": TEXT,
            "demo": YES,
            "sections": many(of("SectionOfToday")),
            "motorcycles": many(of("Motorcycle")),
            "judged_in_full": maybe(DAY),
            "full_tonight": YES,
            "asked_at": MOMENT,
        },
    ),
    "SectionOfToday": record(
        "One heading; its key is the same in every version.", {"key": TEXT, "title": TEXT, "lines": many(of("Line"))}
    ),
    "Line": record("One thing to do.", {"vehicle": TEXT, "tag": TEXT, **SAID}),
    "Motorcycle": record(
        "A motorcycle once, with all that is told of it; `reached` is null where its owner is not called.",
        {
            "vehicle": TEXT,
            "tag": TEXT,
            "calls": many(TEXT),
            "reached": maybe(YES),
            "reasons": many(of("ReasonOfToday")),
        },
    ),
    "ReasonOfToday": record("A line of a motorcycle, and its section.", {"section": TEXT, **SAID}),
    "SignOff": record(
        "What was checked, released or handed over in some days, as it stood at their end. People are numbers.",
        {
            "from": DAY,
            "to": DAY,
            "site": TEXT,
            "demo": YES,
            "unread": many(TEXT),
            "jobs": many(of("SignedJob")),
            "facts": many(of("Fact")),
            "head": TEXT,
            "asked_at": MOMENT,
        },
    ),
    "SignedJob": record(
        "A job that was signed for.",
        {
            "job": TEXT,
            "vehicle": TEXT,
            "tag": TEXT,
            "title": TEXT,
            "state": TEXT,
            "withdrawn": TEXT,
            "opened": of("SaidBy"),
            "released": many(of("SaidBy")),
            "handed_over": many(of("Leaving")),
            "unsigned": TEXT,
            "fasteners": many(of("SignedFastener")),
            "conceded": many(of("SignedConcession")),
            "struck": many(of("SignedStrike")),
            "late": many(of("LateEntry")),
        },
    ),
    "SaidBy": record("Who said something, when, and in which entry.", BY),
    "Leaving": record("A hand-over, with how many stops stood.", {**BY, "stops": WHOLE, "why": TEXT}),
    "SignedFastener": record(
        "A fastener: who tightened it, with what, and who looked.",
        {
            "name": TEXT,
            "positions": many(TEXT),
            "state": TEXT,
            "tightened": maybe(of("SaidBy")),
            "supervisor": TEXT,
            "helpers": many(TEXT),
            "wrench": TEXT,
            "outcome": TEXT,
            "check_wanted": YES,
            "checked": maybe(of("SignedCheck")),
        },
    ),
    "SignedCheck": record("The independent check.", {**BY, "method": TEXT, "self": YES, "why": TEXT}),
    "SignedConcession": record(
        "A concession.", {**BY, "rule": TEXT, "about": TEXT, "basis": TEXT, "limit": TEXT, "expires_on": DAY}
    ),
    "SignedStrike": record(
        "A strike.", {**BY, "struck": WHOLE, "what": TEXT, "about": TEXT, "why": TEXT, "since": YES}
    ),
    "LateEntry": record(
        "Something that was recorded late.",
        {"by": TEXT, "when": MOMENT, "entries": many(WHOLE), "what": TEXT, "about": TEXT, "minutes": WHOLE},
    ),
    "Fact": record("What an auditor would ask about.", {"key": TEXT, "says": TEXT, "jobs": many(TEXT)}),
}
