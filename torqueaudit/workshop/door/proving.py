"""An entry handed out with its proof: whoever has the checkpoint can check it without the book."""

from itertools import islice

from torqueaudit.book import seals
from torqueaudit.ledger.merkle import leaf_of, path_to, root_of
from torqueaudit.ledger.note import is_signed
from torqueaudit.ledger.proof import Proof
from torqueaudit.ledger.words import Kept
from torqueaudit.model.act import Refused, See, Topic
from torqueaudit.model.register.seal_keys import SealKey, key_at
from torqueaudit.workshop.door.seal import keys_of, newest_fitting
from torqueaudit.workshop.door.workshop import Workshop


def prove(workshop: Workshop, sequence: int, seal: seals.Seal | None, *, with_words: bool = False) -> Proof:
    """The proof of an entry under a checkpoint, under the newest one where none is given.

    Free words, which may name somebody, are handed out with it only where they are asked for. Raises Refused for an
    entry that there is not, that is not sealed yet, or that the checkpoint does not fit; BookError.
    """
    seal = seal or _newest(workshop)
    checkpoint = seal.checkpoint
    _require_sealed(workshop, sequence, seal)
    leaves, document = [], b""
    for number, (text, _) in enumerate(islice(workshop.book.documents(), checkpoint.size), start=1):
        leaves.append(leaf_of(text))
        document = text if number == sequence else document
    if len(leaves) < checkpoint.size or root_of(leaves) != checkpoint.root:
        raise Refused(f"{seal.file} is no checkpoint of this ledger as it stands; verify the ledger against it")
    return Proof(
        document=document.decode(),
        sequence=sequence,
        size=checkpoint.size,
        path=tuple(path_to(sequence - 1, leaves)),
        note=str(seal.note),
        public=_key_of(workshop, seal).public,
        words=_words(workshop, sequence) if with_words else {},
    )


def _newest(workshop: Workshop) -> seals.Seal:
    newest = newest_fitting(workshop, keys_of(workshop))
    if newest is None:
        raise Refused("this ledger was never sealed", See(Topic.SEALING))
    return newest


def _require_sealed(workshop: Workshop, sequence: int, seal: seals.Seal) -> None:
    """Refuse an entry that there is not, or that is not sealed yet."""
    last = workshop.book.head().sequence
    if not 1 <= sequence <= last:
        raise Refused(f"entry {sequence}: there is no such entry; the newest one is {last}", See(Topic.LEDGER))
    if sequence > seal.checkpoint.size:
        raise Refused(f"entry {sequence} is newer than the checkpoint {seal.file.name}", See(Topic.SEALING))


def _key_of(workshop: Workshop, seal: seals.Seal) -> SealKey:
    """The key that a checkpoint is signed with, as the ledger names it there. Raises Refused."""
    key = key_at(keys_of(workshop), seal.checkpoint.size)
    if key is None or not is_signed(seal.note, seal.checkpoint.name, key.public):
        raise Refused(f"{seal.file} does not bear the signature of the key that this ledger names there")
    return key


def _words(workshop: Workshop, sequence: int) -> dict[str, Kept]:
    """The free words of an entry. Raises Refused where none stand."""
    words = workshop.book.kept_words(sequence)
    if not words:
        raise Refused(f"entry {sequence}: no words of it stand that could be handed out")
    return words
