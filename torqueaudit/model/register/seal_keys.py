"""The keys that seal a ledger, as its entries name them."""

from collections.abc import Iterable
from typing import NamedTuple

from torqueaudit.ledger.entry import Entry
from torqueaudit.ledger.note import KEY, of_base64

KEY_NAMED = "key_named.1"


class SealKey(NamedTuple):
    """A public key that seals the ledger from the entry on that names it, until another is named."""

    entry: int
    public: bytes
    key_id: str  # 8 characters of hexadecimal
    by: str


def fold_seal_keys(entries: Iterable[Entry]) -> tuple[SealKey, ...]:
    """The keys that a site's entries name, in order. Raises ValueError for a key that is none."""
    return tuple(
        SealKey(each.sequence, of_base64(each.said["public_key"], KEY), each.said["key_id"], each.who)
        for each in entries
        if each.kind == KEY_NAMED
    )


def key_at(keys: Iterable[SealKey], entry: int) -> SealKey | None:
    """The key that sealed the ledger where it ended with an entry; None where none was named yet."""
    return next((each for each in reversed(tuple(keys)) if each.entry <= entry), None)
