"""A checkpoint: how long a ledger is and what stands in it, in five lines that are signed as a note.

The form is the open one of C2SP, tlog-checkpoint: whose ledger it is, how many entries it has, and the root of the
tree over them in base64; the two lines of our own say the head of the chain and the moment.

    torqueaudit/YARD
    1234
    n4VQ5YCfUzbE1Zqlt8bqKLaxvlBHgCyTQY0KzRcxtkA=
    head YARD/1234/9f86d081884c7d659a2feaa0c55ad015a3bf4f1b2b0b822cd15d6c15b0f00a08
    sealed 2031-04-02T02:15:00Z
"""

from typing import NamedTuple

from torqueaudit.ledger.chain import Head, head_of
from torqueaudit.ledger.entry import moment_of, require_site, stamp
from torqueaudit.ledger.merkle import HASH
from torqueaudit.ledger.note import in_base64, of_base64


class Checkpoint(NamedTuple):
    """Where a ledger stood when it was sealed, and the root of the tree over its entries up to there."""

    head: Head
    root: bytes
    sealed_at: str  # UTC to the second

    @property
    def name(self) -> str:
        """Whose ledger it is, which is also whose signature it bears."""
        return name_of(self.head.site)

    @property
    def size(self) -> int:
        """How many entries it holds."""
        return self.head.sequence

    @property
    def text(self) -> str:
        """The lines that are signed."""
        root = in_base64(self.root)
        return f"{self.name}\n{self.size}\n{root}\nhead {self.head}\nsealed {self.sealed_at}\n"


def name_of(site: str) -> str:
    """Under which name the ledger of a site is sealed."""
    return f"torqueaudit/{site}"


def _stamped(text: str) -> str:
    try:
        return stamp(moment_of(text))
    except ValueError:
        raise ValueError(f"{text[:60]!r} is no moment") from None


def checkpoint_of(text: str) -> Checkpoint:
    """What the text of a note seals. Raises ValueError with a sentence when it is no checkpoint."""
    try:
        lines = text.split("\n")
        root, head, sealed_at = (lines[at].removeprefix(word) for at, word in ((2, ""), (3, "head "), (4, "sealed ")))
        told = Checkpoint(head_of(head), of_base64(root, HASH), _stamped(sealed_at))
        require_site(told.head.site)
    except IndexError:
        raise ValueError("this is no checkpoint of a ledger: it has too few lines") from None
    except ValueError as error:
        raise ValueError(f"this is no checkpoint of a ledger: {error}") from None
    if told.text != text:
        raise ValueError("this is no checkpoint of a ledger: its lines are not written as they were sealed")
    return told
