"""Entries of the ledger as JSON."""

from torqueaudit.ledger.entry import Entry
from torqueaudit.ledger.note import in_base64
from torqueaudit.ledger.proof import Proved
from torqueaudit.model.register.seal_keys import SealKey
from torqueaudit.reports.json.values import Object
from torqueaudit.workshop.door.events import Events
from torqueaudit.workshop.door.held import Fit, Held
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


def events_json(site: str, events: Events) -> Object:
    """Entries behind a number, and where to go on."""
    return {
        "site": site,
        "after": events.after,
        "entries": [entry_json(each) for each in events.entries],
        "last": events.last,
        "hash": events.hash,
        "more": events.more,
    }


def erased_json(erased: Erased) -> Object:
    """The entries whose words were erased, when and by whom."""
    return {"entries": list(erased.entries), "on": erased.on.isoformat(), "by": erased.by}


def seal_key_json(key: SealKey) -> Object:
    """A key that seals the ledger from an entry on."""
    return {"entry": key.entry, "key_id": key.key_id, "public_key": in_base64(key.public)}


def held_json(held: Held) -> Object:
    """What the checkpoints that fit prove, beside the book and given; null where there are none. And those lost."""
    return {"kept": _fit(held.kept), "given": _fit(held.given), "lost": [str(file) for file in held.lost]}


def _fit(fit: Fit) -> Object | None:
    if fit.newest is None:
        return None
    checkpoint = fit.newest.checkpoint
    told = {"checkpoints": fit.number, "entry": checkpoint.size}
    return {**told, "sealed_at": checkpoint.sealed_at, "key_id": fit.key_id}


def proved_json(proved: Proved) -> Object:
    """An entry that is proved, and by which checkpoint."""
    checkpoint = proved.checkpoint
    return {
        "entry": entry_json(proved.entry._replace(words=proved.words)),
        "tree_size": checkpoint.size,
        "head": str(checkpoint.head),
        "sealed_at": checkpoint.sealed_at,
        "key_id": proved.key_id,
    }
