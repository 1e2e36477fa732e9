"""Check a proof of an entry against a checkpoint: written from docs/checkpoints.md alone, with nothing of torqueaudit.

    python check_proof.py PROOF CHECKPOINT

Exit code 0: proved. 1: not proved. It stands here to show that others can check what the program hands out, and to hold
the program against a second one.
"""

import base64
import hashlib
import json
import sys
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

KEYS = {"format", "version", "sequence", "tree_size", "document", "path", "note", "public_key"}
LINES = 5  # of a checkpoint, that are signed


class NotProved(Exception):
    """A step of the check failed."""


def need(holds: object, what: str) -> None:
    if not holds:
        raise NotProved(what)


def from_base64(text: object, length: int) -> bytes:
    need(isinstance(text, str), "base64 is a string")
    try:
        data = base64.b64decode(str(text), validate=True)
    except ValueError:
        data = b""
    need(len(data) == length and base64.b64encode(data).decode() == text, "base64 in its one spelling")
    return data


def sha256(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()


def plain_lines(note: str) -> list[str]:
    """The lines of a note, whatever mail or an editor did to their ends."""
    return note.removeprefix("\ufeff").replace("\r\n", "\n").strip("\n").split("\n")


def is_signed(lines: list[str], public: bytes) -> bool:
    """Whether one of the lines behind the empty one is the signature by this key."""
    text = "".join(f"{line}\n" for line in lines[:LINES]).encode()
    key_id = sha256(lines[0].encode() + b"\n\x01" + public)[:4]
    for line in lines[LINES + 1 :]:
        dash, name, signature = line.split(" ")
        data = from_base64(signature, 68)
        need(dash == "—", "a line of signature begins with a dash")
        if name != lines[0] or data[:4] != key_id:
            continue
        try:
            Ed25519PublicKey.from_public_bytes(public).verify(data[4:], text)
        except InvalidSignature:
            continue
        return True
    return False


def root_by(path: list[bytes], place: int, size: int, leaf: bytes) -> bytes:
    """The root that the path leads to (RFC 9162, section 2.1.3.2)."""
    fn, sn, r = place, size - 1, leaf
    for p in path:
        need(sn, "the path is too long")
        if fn % 2 or fn == sn:
            r = sha256(b"\x01" + p + r)
            while fn and not fn % 2:
                fn, sn = fn // 2, sn // 2
        else:
            r = sha256(b"\x01" + r + p)
        fn, sn = fn // 2, sn // 2
    need(sn == 0, "the path is too short")
    return r


def once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    need(len(dict(pairs)) == len(pairs), "each key stands once")
    return dict(pairs)


def check(proof: str, checkpoint: str) -> dict[str, Any]:
    """The entry that is proved. Raises NotProved."""
    try:
        content = json.loads(proof, object_pairs_hook=once)
        return steps(content, plain_lines(checkpoint))
    except (ValueError, KeyError, TypeError, AttributeError, IndexError, RecursionError) as error:
        raise NotProved(f"not written as it should be: {error}") from error


def steps(proof: dict[str, Any], mine: list[str]) -> dict[str, Any]:
    """The six steps of the document."""
    need(proof["format"] == "torqueaudit proof" and proof["version"] == 1, "a proof of version 1")
    need(proof.keys() - {"words"} == KEYS, "the keys of a proof")
    sequence, size = proof["sequence"], proof["tree_size"]
    need(type(sequence) is type(size) is type(proof["version"]) is int, "whole numbers")
    public = from_base64(proof["public_key"], 32)
    own = plain_lines(proof["note"])
    need(mine[: LINES + 1] == own[: LINES + 1] and own[LINES] == "", "1: the proof belongs to this checkpoint")
    need(is_signed(own, public) and is_signed(mine, public), "2: the signatures hold")
    need(str(size) == mine[1] and 1 <= sequence <= size, "3: the size, and a place in it")
    path = [from_base64(each, 32) for each in proof["path"]]
    leaf = sha256(b"\x00" + proof["document"].encode())
    need(root_by(path, sequence - 1, size, leaf) == from_base64(mine[2], 32), "4: the path leads to the root")
    entry: dict[str, Any] = json.loads(proof["document"])
    need(entry["sequence"] == sequence and f"torqueaudit/{entry['site']}" == mine[0], "5: the entry is the one named")
    for field, kept in proof.get("words", {}).items():
        need(kept.keys() == {"salt", "text"}, "the keys of words")
        digest = sha256((kept["salt"] + kept["text"]).encode()).hex()
        need(entry["payload"]["words"][field] == digest, "6: the words are the entry's")
    return entry


def main(proof: str, checkpoint: str) -> None:
    """Say what came of it."""
    try:
        entry = check(*(Path(each).read_text(encoding="utf-8") for each in (proof, checkpoint)))
    except (NotProved, UnicodeError) as error:
        sys.exit(f"not proved: {error}")
    sys.stdout.write(f"proved: {json.dumps(entry, ensure_ascii=False)}\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
