"""The schema of entries of the ledger."""

from collections.abc import Mapping

from torqueaudit.reports.json.schema.terms import MOMENT, OPEN, SHA256, TEXT, WHOLE, YES, Schema, many, of, record

SCHEMAS: Mapping[str, Schema] = {
    "Events": record(
        "Entries in their order. Ask on with `last` as `after` and `hash` as `hash`.",
        {
            "site": TEXT,
            "after": WHOLE,
            "entries": many(of("Entry")),
            "last": WHOLE,
            "hash": SHA256,
            "more": YES,
        },
    ),
    "Entry": record(
        "One fact. What `said` and `judged` hold depends on its kind, whose number changes with its meaning. Free "
        "words and what may name somebody are left out; `words` is empty.",
        {
            "site": TEXT,
            "sequence": WHOLE,
            "id": TEXT,
            "subject": TEXT,
            "number": WHOLE,
            "kind": TEXT,
            "happened_at": MOMENT,
            "recorded_at": MOMENT,
            "who": TEXT,
            "said": OPEN,
            "words": OPEN,
            "judged": OPEN,
            "previous": SHA256,
            "digest": SHA256,
            "of": WHOLE,
        },
    ),
}
