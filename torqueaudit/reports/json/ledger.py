"""Entries of the ledger as JSON."""

from torqueaudit.ledger.entry import Entry
from torqueaudit.ledger.note import in_base64
from torqueaudit.model.register.seal_keys import SealKey
from torqueaudit.reports.json.values import Object
from torqueaudit.workshop.door.words import Erased


def entry_json(entry: Entry) -> Object:
    """One entry in its place: what was said and judged then as it is stored, its free words as they are shown."""
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
        "words": dict(entry.words),
        "judged": dict(entry.judged),
        "previous": entry.previous,
        "digest": entry.digest,
        "of": entry.of,
    }


def erased_json(erased: Erased) -> Object:
    """The entries whose words were erased, when and by whom."""
    return {"entries": list(erased.entries), "on": erased.on.isoformat(), "by": erased.by}


def seal_key_json(key: SealKey) -> Object:
    """A key that seals the ledger from an entry on."""
    return {"entry": key.entry, "key_id": key.key_id, "public_key": in_base64(key.public)}
