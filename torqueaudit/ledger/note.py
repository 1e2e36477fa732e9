"""A signed note: a text and, below an empty line, signatures by Ed25519 (RFC 8032).

The form is the open one of C2SP, signed-note. A signature's line reads "— NAME BASE64", which holds the key's id and
the signature of the text's UTF-8 bytes; the id is the start of SHA-256 over the name, a line feed, 0x01 and the public
key. `cryptography` is imported by whoever signs or checks, and by nobody else.
"""

from base64 import b64decode, b64encode
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from typing import NamedTuple

KEY, SIGNATURE, KEY_ID = 32, 64, 4  # bytes
_ED25519 = b"\x01"
_BEFORE = "— "
_SHOWN = 80  # characters of what cannot be read


class NoSignatures(Exception):
    """Nothing can be signed or checked on this machine; the sentence says why."""


class Signature(NamedTuple):
    """One line of signature: whose it says it is, and what was signed by which key."""

    name: str
    key_id: str  # 8 characters of hexadecimal
    value: bytes


class Note(NamedTuple):
    """A text, which ends with a line feed, and its signatures."""

    text: str
    signatures: tuple[Signature, ...]

    def __str__(self) -> str:
        """The note as it is printed, kept and mailed."""
        return f"{self.text}\n{''.join(map(_line, self.signatures))}"


def note_of(text: str) -> Note:
    """A note as it was written, whatever ends its lines. Raises ValueError with a sentence when it is none."""
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").strip("\n")
    told, _, lines = plain.rpartition("\n\n")
    if not told:
        raise ValueError("this is no signed note; it reads as a text, an empty line and a line of signature")
    return Note(f"{told}\n", tuple(map(_signature, lines.split("\n"))))


def key_id(name: str, public: bytes) -> str:
    """The id of a name's key, as 8 characters of hexadecimal."""
    return sha256(name.encode() + b"\n" + _ED25519 + public).digest()[:KEY_ID].hex()


def new_key(private: bytes) -> bytes:
    """The public key of a private one, which is 32 bytes of chance. Raises NoSignatures."""
    with _library():
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

        return Ed25519PrivateKey.from_private_bytes(private).public_key().public_bytes_raw()


def signed(text: str, name: str, private: bytes) -> Note:
    """A text signed under a name; the same text and key give the same note. Raises NoSignatures."""
    with _library():
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

        key = Ed25519PrivateKey.from_private_bytes(private)
        value, public = key.sign(text.encode()), key.public_key().public_bytes_raw()
    return Note(text, (Signature(name, key_id(name, public), value),))


def is_signed(note: Note, name: str, public: bytes) -> bool:
    """Whether a name signed a note with the private key of this public one. Raises NoSignatures."""
    wanted = (name, key_id(name, public))
    return any(
        _holds(each.value, note.text.encode(), public) for each in note.signatures if (each.name, each.key_id) == wanted
    )


def in_base64(data: bytes) -> str:
    """Bytes as base64 with its padding (RFC 4648, section 4)."""
    return b64encode(data).decode()


def of_base64(text: str, length: int) -> bytes:
    """The bytes of a base64 text. Raises ValueError unless it is their one spelling and they have this length."""
    with suppress(ValueError):
        data = b64decode(text, validate=True)
        if len(data) == length and in_base64(data) == text:
            return data
    raise ValueError(f"{text[:_SHOWN]!r} is no base64 of {length} bytes")


def _line(signature: Signature) -> str:
    return f"{_BEFORE}{signature.name} {in_base64(bytes.fromhex(signature.key_id) + signature.value)}\n"


def _signature(line: str) -> Signature:
    name, space, told = line.removeprefix(_BEFORE).partition(" ")
    if not line.startswith(_BEFORE) or not name or not space:
        raise ValueError(f"{line[:_SHOWN]!r} is no line of a signature; one reads “— NAME BASE64”")
    data = of_base64(told, KEY_ID + SIGNATURE)
    return Signature(name, data[:KEY_ID].hex(), data[KEY_ID:])


def _holds(value: bytes, data: bytes, public: bytes) -> bool:
    with _library():
        from cryptography.exceptions import InvalidSignature
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

        try:
            Ed25519PublicKey.from_public_bytes(public).verify(value, data)
        except InvalidSignature:
            return False
        return True


@contextmanager
def _library() -> Iterator[None]:
    """A block in which whatever a missing, broken or restricted library raises becomes NoSignatures."""
    try:
        yield
    except Exception as error:
        says = f"signatures do not work on this machine ({type(error).__name__}: {error})"
        raise NoSignatures(says) from error
