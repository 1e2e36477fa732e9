"""The ledger sealed: its size, its head and the root over all of its entries, signed with the workshop's key.

Whoever keeps such a checkpoint can show later what stood in the ledger up to there, and an entry that was changed.
"""

from collections.abc import Callable, Iterable, Sequence
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from torqueaudit.book import seals
from torqueaudit.book.errors import BookError
from torqueaudit.book.places import seals_of
from torqueaudit.book.secrets import Secrets
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.checkpoint import Checkpoint, name_of
from torqueaudit.ledger.entry import FIRST_PREVIOUS, Draft, stamp, subject_of_site
from torqueaudit.ledger.merkle import Frontier, leaf_of
from torqueaudit.ledger.note import KEY, in_base64, is_signed, key_id, new_key, of_base64, signed
from torqueaudit.ledger.words import FreeWords
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.register.permits import NIGHT, ActName
from torqueaudit.model.register.seal_keys import KEY_NAMED, SealKey, fold_seal_keys, key_at
from torqueaudit.workshop.door.attempt import Attempt, record
from torqueaudit.workshop.door.workshop import Workshop


class Damaged(Refused):
    """The ledger does not agree with what was sealed of it before, so it is not sealed."""


class AtHand(NamedTuple):
    """The key that seals the ledger now; `made` a moment ago, as there was none or the one `before` was lost.

    `newest` is the newest seal that fits the ledger.
    """

    key: SealKey
    private: bytes
    newest: seals.Seal | None
    made: bool = False
    before: SealKey | None = None


def key_at_hand(workshop: Workshop, secrets: Secrets) -> AtHand:
    """The key that the ledger names, or one that is made and named now, unless the ledger is damaged.

    Raises Damaged, BookError, NoSignatures, or Refused where none may be recorded.
    """
    known = keys_of(workshop)
    newest = newest_fitting(workshop, known)
    if known and (private := _private_of(secrets, known[-1])):
        return AtHand(known[-1], private, newest)
    key = name_key(workshop, secrets, "", Say(NIGHT, came=Came("night")))
    if private := _private_of(secrets, key):
        return AtHand(key, private, newest, made=True, before=known[-1] if known else None)
    raise Refused(f"key {key.key_id} was made, and is not in {secrets.path}")


def seal(workshop: Workshop, at_hand: AtHand) -> seals.Seal:
    """Seal the ledger as it stands now, once; where nothing was recorded since, the newest seal stands.

    Only what was recorded since the newest seal is hashed. Raises Damaged, BookError, NoSignatures.
    """
    before = at_hand.newest
    frontier, head = _grown(workshop, before)
    if before and before.checkpoint.head == head:
        return before
    checkpoint = Checkpoint(head, frontier.root, stamp(workshop.clock()))
    kept = seals.keep(workshop.book.path, signed(checkpoint.text, checkpoint.name, at_hand.private))
    seals.keep_frontier(workshop.book.path, frontier)
    return kept


def keys_of(workshop: Workshop) -> tuple[SealKey, ...]:
    """The keys that the ledger names, in order."""
    return fold_seal_keys(workshop.book.entries(subject_of_site(workshop.book.site)))


def change_key(workshop: Workshop, secrets: Secrets, why: str, say: Say) -> SealKey:
    """Name a new key, by a foreman; those before are taken out of the secrets.

    Raises Refused, BookError, NoSignatures.
    """
    if not why.strip():
        raise Refused("say why the key is changed")
    key = name_key(workshop, secrets, why, say)
    *before, now = keys_of(workshop)
    for public in {each.public for each in before} - {now.public}:
        secrets.forget(in_base64(public))
    return key


def name_key(workshop: Workshop, secrets: Secrets, why: str, say: Say) -> SealKey:
    """Make a key and name it in the ledger, once it is kept: an entry never names a key that nobody has."""
    site = subject_of_site(workshop.book.site)
    private = workshop.chance.getrandbits(8 * KEY).to_bytes(KEY, "big")
    public = new_key(private)
    told = in_base64(public)
    named = {"public_key": told, "key_id": key_id(name_of(workshop.book.site), public)}
    said = {"why": FreeWords(why)} if why else {}

    def build(attempt: Attempt) -> list[Draft]:
        attempt.entries(site)
        secrets.keep(told, in_base64(private))
        return [attempt.draft(site, KEY_NAMED, {**named, **said})]

    try:
        (entry,) = record(workshop, say, ActName.NAME_KEY, site, said, build)
    except (Refused, BookError):
        secrets.forget(told)
        raise
    return fold_seal_keys([entry])[0]


def _private_of(secrets: Secrets, key: SealKey) -> bytes | None:
    """The private key of one that the ledger names; None where it is lost."""
    try:
        private = of_base64(secrets.private_of(in_base64(key.public)) or "", KEY)
    except ValueError:
        return None
    return private if new_key(private) == key.public else None


def newest_fitting(workshop: Workshop, keys: Sequence[SealKey]) -> seals.Seal | None:
    """The newest seal, but for those of lost entries, where the ledger still has what it sealed. Raises Damaged.

    `keys` are those that the ledger names.
    """
    is_lost = lost_of(workshop, keys)
    try:
        kept = map(seals.kept, reversed(seals.files_of(workshop.book.path)))
        newest = next((each for each in kept if not is_lost(each)), None)
    except BookError as error:
        raise Damaged(error.says.rstrip(".")) from None
    if newest is None:
        return None
    head = newest.checkpoint.head
    if head.sequence > workshop.book.head().sequence:
        raise Damaged(f"the ledger was sealed up to entry {head.sequence}, and ends before that: its tail is lost")
    if not workshop.book.has(head):
        raise Damaged(f"the ledger was sealed up to entry {head.sequence}, and was written anew since")
    key = key_at(keys, head.sequence)
    if head.site != workshop.book.site or not key or not is_signed(newest.note, newest.checkpoint.name, key.public):
        raise Damaged(f"the seal {newest.file.name} was not made of this ledger with a key that it names")
    return newest


def seals_gone(book: Path, keys: Sequence[SealKey]) -> str:
    """That a ledger names keys and no seal lies beside the book, as a sentence; "" where one does, or none is named."""
    if not keys or seals.files_of(book):
        return ""
    place = seals_of(book)
    lies = f"{place} is no folder" if place.exists() and not place.is_dir() else f"no seal lies in {place}"
    back = "Bring the seals back from a backup, or hold the ledger against a checkpoint that was kept elsewhere."
    return f"The ledger names the key {keys[-1].key_id} that seals it, and {lies}. {back}"


def lost_of(workshop: Workshop, keys: Sequence[SealKey]) -> Callable[[seals.Seal], bool]:
    """Whether a checkpoint seals entries of which an entry says that they are lost. Asking raises NoSignatures.

    The entry that names its key may be one of them: then its signature cannot be checked, and explains nothing less.
    """
    book = workshop.book
    explained = cache(book.explained)  # once, and only where a head is not there

    def is_lost(seal: seals.Seal) -> bool:
        head, name = seal.checkpoint.head, seal.checkpoint.name
        if book.has(head) or not explained()(head):
            return False
        named = named_of(seal, keys)
        signed = any(each.name == name for each in seal.note.signatures)
        return any(is_signed(seal.note, name, key.public) for key in named) if named else signed

    return is_lost


def named_of(seal: seals.Seal, keys: Iterable[SealKey]) -> list[SealKey]:
    """Those of the keys that a checkpoint says it is signed with."""
    signers = {each.key_id for each in seal.note.signatures if each.name == seal.checkpoint.name}
    return [key for key in keys if key.key_id in signers]


def _grown(workshop: Workshop, before: seals.Seal | None) -> tuple[Frontier, Head]:
    """The tree over everything, from the newest seal on, and the head that it ends at. Raises Damaged."""
    sealed = before.checkpoint if before else Checkpoint(Head(workshop.book.site, 0, FIRST_PREVIOUS), b"", "")
    frontier = seals.frontier_at(workshop.book.path, sealed)
    start = sealed.head.hash if frontier.size else FIRST_PREVIOUS
    end = _put_behind(frontier, workshop.book.documents(frontier.size), start)
    return frontier, Head(workshop.book.site, frontier.size, end)


def _put_behind(frontier: Frontier, rows: Iterable[tuple[bytes, str]], end: str) -> str:
    """Put rows behind a tree that ends with a hash; the last one's hash. Raises Damaged where they do not fit."""
    for document, stored in rows:
        frontier.add(leaf_of(document))
        if sha256(document).hexdigest() != stored or f'"previous":"{end}",'.encode() not in document:
            raise Damaged(f"entry {frontier.size} was altered, or does not follow the one before it")
        end = stored
    return end
