"""Entries of the ledger as JSON."""

from torqueaudit.ledger.entry import Entry
from torqueaudit.reports.json.values import Object


def entry_json(entry: Entry) -> Object:
    """One entry in its place; what was said and what was judged then stand as they are stored."""
    return {
        "site": entry.site,
        "sequence": entry.sequence,
        "id": entry.id,
        "subject": entry.subject,
        "number": entry.number,
        "kind": entry.kind,
        "happened_at": entry.happened_at,
        "recorded_at": entry.recorded_at,
        "who": entry.who,
        "said": dict(entry.said),
        "judged": dict(entry.judged),
        "previous": entry.previous,
        "digest": entry.digest,
        "of": entry.of,
    }
