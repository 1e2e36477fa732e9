"""A proof of one entry, for whoever has a checkpoint and no book: a small JSON file, and how it is checked.

docs/checkpoints.md says what stands in it and how to check it with any other program.
"""

import json
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

from torqueaudit.ledger.checkpoint import Checkpoint, checkpoint_of
from torqueaudit.ledger.entry import Entry, NoEntry, entry_of, is_canonical
from torqueaudit.ledger.merkle import HASH, leaf_of, root_by
from torqueaudit.ledger.note import KEY, in_base64, is_signed, key_id, note_of, of_base64
from torqueaudit.ledger.words import Kept

FORMAT, VERSION = "torqueaudit proof", 1
_KEYS = frozenset({"format", "version", "sequence", "tree_size", "document", "path", "note", "public_key"})
_NOTHING: Mapping[str, Kept] = MappingProxyType({})


class NotProved(Exception):
    """A proof does not hold; the sentence says where."""


class Proof(NamedTuple):
    """What a proof's file holds: an entry as it is hashed, its place, and the note that seals it.

    `words` are the free words that were handed out with it, by field, each with its salt.
    """

    document: str
    sequence: int
    size: int
    path: tuple[bytes, ...]
    note: str
    public: bytes
    words: Mapping[str, Kept] = _NOTHING


class Proved(NamedTuple):
    """An entry that is proved: that it stood so in the ledger when it was sealed, by the holder of which key."""

    entry: Entry
    checkpoint: Checkpoint
    key_id: str
    words: Mapping[str, str]  # by field, those that were handed out


def proof_text(proof: Proof) -> str:
    """A proof as its file holds it."""
    content: dict[str, Any] = {
        "format": FORMAT,
        "version": VERSION,
        "sequence": proof.sequence,
        "tree_size": proof.size,
        "document": proof.document,
        "path": [in_base64(each) for each in proof.path],
        "note": proof.note,
        "public_key": in_base64(proof.public),
    }
    if proof.words:
        content["words"] = {field: each._asdict() for field, each in proof.words.items()}
    return json.dumps(content, ensure_ascii=False, indent=2) + "\n"


def proof_of(text: str) -> Proof:
    """The proof in a file. Raises NotProved with a sentence when there is none in it."""
    try:
        content = json.loads(text, object_pairs_hook=_each_once)
    except (ValueError, RecursionError):
        content = None
    if not isinstance(content, dict) or content.get("format") != FORMAT:
        raise NotProved("the file holds no proof of an entry")
    if type(content.get("version")) is not int or content["version"] != VERSION:
        raise NotProved("the proof is of a version that this program does not know")
    try:
        return _read(content)
    except (TypeError, ValueError, AttributeError):
        raise NotProved("the proof is not written as proofs are: something in it is missing, or was changed") from None


def check(proof: Proof, against: str) -> Proved:
    """What a proof proves to whoever holds the checkpoint `against`. Raises NotProved, and NoSignatures."""
    try:
        notes = note_of(against), note_of(proof.note)
        checkpoint, own = (checkpoint_of(note.text) for note in notes)
    except ValueError as error:
        raise NotProved(str(error)) from None
    if own != checkpoint:
        yours = f"yours is of {checkpoint.name}, {checkpoint.size} entries, sealed at {checkpoint.sealed_at}"
        its = f"that of {own.name}, {own.size} entries, sealed at {own.sealed_at}"
        raise NotProved(f"the proof belongs to another checkpoint, {its}; {yours}. Ask for a proof that belongs to it")
    if not all(is_signed(note, checkpoint.name, proof.public) for note in notes):
        raise NotProved(f"the checkpoint does not bear the signature of {checkpoint.name} by the key in the proof")
    entry = _sealed_entry(proof, checkpoint)
    for field, kept in proof.words.items():
        if entry.sealed.get(field) != kept.digest:
            raise NotProved(f"the words ({field}) in the proof are not those of the entry")
    words = {field: kept.text for field, kept in proof.words.items()}
    return Proved(entry, checkpoint, key_id(checkpoint.name, proof.public), words)


def _sealed_entry(proof: Proof, checkpoint: Checkpoint) -> Entry:
    """The entry in its place under the checkpoint's root. Raises NotProved."""
    root = root_by(proof.path, proof.sequence - 1, checkpoint.size, leaf_of(proof.document.encode()))
    if proof.size != checkpoint.size or root != checkpoint.root:
        raise NotProved(f"entry {proof.sequence} as it stands in the proof is not the one that was sealed")
    try:
        entry, is_written_so = entry_of(proof.document), is_canonical(proof.document)
    except NoEntry as error:
        raise NotProved(f"what was sealed in place {proof.sequence} is no entry: {error}") from None
    if not is_written_so or not _has_its_kinds(entry):
        raise NotProved(f"what was sealed in place {proof.sequence} is not written as entries are")
    if (entry.site, entry.sequence) != (checkpoint.head.site, proof.sequence):
        raise NotProved(f"what stands in place {proof.sequence} is another entry")
    return entry


def _has_its_kinds(entry: Entry) -> bool:
    """Whether each field holds a text or an object where entries do: anybody can seal something else with a key."""
    texts = (entry.id, entry.subject, entry.kind, entry.happened_at, entry.recorded_at, entry.who, entry.previous)
    objects = (entry.said, entry.judged, entry.sealed, entry.personal)
    return all(isinstance(each, str) for each in texts) and all(isinstance(each, Mapping) for each in objects)


def _read(content: dict[str, Any]) -> Proof:
    """Every value by its key. Raises TypeError, ValueError or AttributeError where one is not what it should be."""
    if not _KEYS <= content.keys() <= _KEYS | {"words"}:
        raise ValueError("other keys")
    words = {field: Kept(**kept) for field, kept in content.get("words", {}).items()}
    texts = [content["document"], content["note"], *(text for kept in words.values() for text in kept)]
    if any(type(content[key]) is not int for key in ("sequence", "tree_size")):
        raise TypeError("no whole number")
    for text in texts:
        text.encode()
    return Proof(
        document=content["document"],
        sequence=content["sequence"],
        size=content["tree_size"],
        path=tuple(of_base64(each, HASH) for each in content["path"]),
        note=content["note"],
        public=of_base64(content["public_key"], KEY),
        words=words,
    )


def _each_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """An object of JSON. Raises ValueError where a key stands twice, for others might read the other one."""
    content = dict(pairs)
    if len(content) != len(pairs):
        raise ValueError("a key stands twice")
    return content
