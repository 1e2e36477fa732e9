"""Hashes of what people sign with: Argon2id of a PIN (RFC 9106), SHA-256 of a key that chance made.

A PIN has six digits, so a hash of it has to be slow, and a pepper that lies elsewhere keeps whoever has the book alone
from trying all of them. The parameters are the first choice of OWASP's Password Storage Cheat Sheet: 19 MiB, two
passes, one lane. `cryptography` is imported by whoever sets or asks a PIN, and by nobody else.
"""

from base64 import b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256

from torqueaudit.model.act import Refused

MEMORY_KIB, PASSES, LANES = 19 * 1024, 2, 1
SALT, HASH = 16, 32  # bytes
_ID = 8  # characters


def _in_base64(value: bytes) -> str:
    return b64encode(value).decode().rstrip("=")


# Verified where there is no PIN to verify, so that nobody learns from the time it takes whether there is one.
MADE_UP = f"$argon2id$v=19$m={MEMORY_KIB},t={PASSES},p={LANES}${_in_base64(bytes(SALT))}${_in_base64(bytes(HASH))}"


def hash_of_pin(pin: str, salt: bytes, pepper: bytes) -> str:
    """The Argon2id string of a PIN, as it is kept. Raises Refused where this machine has no Argon2id."""
    with _library():
        from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

        made = Argon2id(salt=salt, length=HASH, iterations=PASSES, lanes=LANES, memory_cost=MEMORY_KIB, secret=pepper)
        return made.derive_phc_encoded(pin.encode())


def is_pin(pin: str, kept: str, pepper: bytes) -> bool:
    """Whether a PIN is the one that was kept; a string that is damaged is nobody's. Raises Refused as `hash_of_pin`."""
    with _library():
        from cryptography.exceptions import InvalidKey
        from cryptography.hazmat.primitives.kdf.argon2 import Argon2id

        try:
            Argon2id.verify_phc_encoded(pin.encode(), kept, pepper)
        except (InvalidKey, ValueError):
            return False
    return True


def id_of_pepper(pepper: bytes) -> str:
    """What tells one pepper from another, and nothing of it."""
    return sha256(b"pepper" + pepper).hexdigest()[:_ID]


def digest_of(key: str) -> str:
    """What is kept of a key or of an invitation's code."""
    return sha256(key.encode()).hexdigest()


@contextmanager
def _library() -> Iterator[None]:
    try:
        from cryptography.exceptions import UnsupportedAlgorithm
    except ImportError as error:
        raise Refused(f"PINs cannot be used here, because cryptography cannot be loaded: {error}") from None
    try:
        yield
    except UnsupportedAlgorithm as error:
        raise Refused(f"PINs cannot be used here, because this machine has no Argon2id: {error}") from None
