"""Free words of an entry: kept beside the ledger where they can be erased, and proved by a digest inside it.

The digest is SHA-256 (FIPS 180-4), in hexadecimal, over the UTF-8 bytes of the salt and, directly behind it, of the
text as it was typed. The salt is 128 bits of chance drawn anew for each text, written as 32 characters of hexadecimal:
its length never differs, so no other salt and text give the same bytes. Whoever has the digest alone cannot try out
what the text may have been, for the salt is erased with the text. See decision 0067.
"""

from random import Random
from typing import NamedTuple

from torqueaudit.ledger.canonical import require_plain

SALT_BITS = 128

# Free words that kinds of before the words lay beside the ledger hold among what was said.
INSIDE = frozenset({"basis", "limit", "remark", "why"})


class FreeWords(NamedTuple):
    """What a person typed freely (a remark, a reason, a basis, a limit), among the rest of what an act says.

    An entry never holds it: whatever is so marked is taken out of what is hashed, and nothing else is.
    """

    text: str


class Kept(NamedTuple):
    """Free words as they lie beside the ledger."""

    salt: str
    text: str

    @property
    def digest(self) -> str:
        """What the entry holds of them."""
        from hashlib import sha256  # slow to load, and whoever only reads the book hashes nothing

        return sha256(f"{self.salt}{self.text}".encode()).hexdigest()


def salted(text: str, chance: Random) -> Kept:
    """Free words with a salt of their own. Raises ValueError for a text that could not be written as bytes."""
    require_plain(text, "words")
    return Kept(f"{chance.getrandbits(SALT_BITS):032x}", text)
