"""The hash chain of one site: every entry names the hash of the one before it.

The chain alone does not notice a cut tail or a ledger computed anew from the start. Its head, printed on paper, does:
`held_against` compares such a printed head with the ledger as it stands.
"""

from collections.abc import Iterable, Iterator
from itertools import islice
from operator import itemgetter, methodcaller
from typing import NamedTuple

from torqueaudit.ledger.entry import FIRST_PREVIOUS, STAMP, NoEntry, is_canonical

_BATCH = 250
_MOST_DIGITS, _MOST_SHOWN = 15, 120  # of a sequence; characters of what is no head
_QUOTES = 'job/12","who":"P-3"}'.count('"')


class Head(NamedTuple):
    """Where the chain stands: written SITE/sequence/hash."""

    site: str
    sequence: int
    hash: str

    def __str__(self) -> str:
        return f"{self.site}/{self.sequence}/{self.hash}"


def head_of(text: str) -> Head:
    """A head as it was printed, in any case. Raises ValueError with a sentence when it is not one."""
    site, _, rest = "".join(text.split()).partition("/")
    sequence, _, digest = rest.lower().partition("/")
    number = sequence.isascii() and sequence.isdecimal() and len(sequence) <= _MOST_DIGITS
    if not site or not number or not _is_hash(digest):
        told = text if len(text) <= _MOST_SHOWN else f"{text[:_MOST_SHOWN]}…"
        raise ValueError(f"{told!r} is no head; a head reads SITE/number/64 characters of hash")
    return Head(site.upper(), int(sequence), digest)


def _is_hash(text: str) -> bool:
    return len(text) == len(FIRST_PREVIOUS) and not set(text) - set("0123456789abcdef")


def beginning(site: str) -> Head:
    """The head of a site that has no entry yet."""
    return Head(site, 0, FIRST_PREVIOUS)


def chain_faults(head: Head, rows: Iterable[tuple[bytes, str]]) -> tuple[Head, list[str]]:
    """Walk the stored (document, hash) rows behind a head in order; the head reached, and what is wrong, in sentences.

    Nothing is parsed, and rows are looked at many at a time and singly only where those show a fault: that keeps a
    check of decades near the speed of the hash.
    """
    faults: list[str] = []
    rows = iter(rows)
    while batch := list(islice(rows, _size_after(head.sequence))):
        if not _follow(head, batch):
            faults.extend(_single_faults(head, batch))
        head = Head(head.site, head.sequence + len(batch), batch[-1][1])
        del batch  # so that the next rows come to lie where these did, which the processor has at hand
    return head, faults


def _size_after(sequence: int) -> int:
    """How many rows are looked at together: all of them have numbers of as many digits, so places of one length."""
    following = sequence + 1
    return min(_BATCH, int(10 ** len(str(following))) - following)


def _follow(head: Head, batch: list[tuple[bytes, str]]) -> bool:
    """Whether these rows give their hashes, name the one before them and stand in their places.

    `},"previous":"` holds bare quotes, which no string does, behind the payload nothing is nested, and the number of
    quotes is fixed: so the entry's own fields stand there and nowhere else. Lists of slices that are joined and
    compared at once cost half of a comparison for each row.
    """
    from hashlib import sha256  # slow to load, and whoever only asks for the head hashes nothing

    documents, hashes = zip(*batch, strict=True)
    if tuple([each.hexdigest() for each in map(sha256, documents)]) != hashes:
        return False
    own = [document.rpartition(b'},"previous":"')[2] for document in documents]
    links = _each_between("", [head.hash, *hashes[:-1]], '","recorded_at":"')
    numbers = map(str, range(head.sequence + 1, head.sequence + len(batch) + 1))
    places = _each_between('","sequence":', numbers, f',"site":"{head.site}","subject":"')
    link, place = len(links) // len(batch), len(places) // len(batch)
    begin, end = link + STAMP, link + STAMP + place
    return (
        b"".join(map(itemgetter(slice(link)), own)) == links
        and b"".join(map(itemgetter(slice(begin, end)), own)) == places
        and set(map(methodcaller("count", b'"', end), own)) == {_QUOTES}
    )


def _each_between(before: str, texts: Iterable[str], after: str) -> bytes:
    """Each text between the two others, one behind the other."""
    return (before + (after + before).join(texts) + after).encode()


def _single_faults(head: Head, batch: list[tuple[bytes, str]]) -> Iterator[str]:
    from hashlib import sha256

    for document, stored in batch:
        sequence = head.sequence + 1
        if sha256(document).hexdigest() != stored:
            yield f"Entry {sequence} was altered: its text no longer gives its hash."
        elif f'}},"previous":"{head.hash}",'.encode() not in document:
            yield f"Entry {sequence} does not follow the entry before it."
        elif not _follow(head, [(document, stored)]):
            yield f"Entry {sequence} stands in the wrong place."
        head = Head(head.site, sequence, stored)


def form_faults(first: int, documents: Iterable[str]) -> list[str]:
    """What is wrong with stored texts themselves: every one must be the canonical text of the entry it says.

    `first` is the sequence of the first of them.
    """
    faults = []
    for sequence, document in enumerate(documents, start=first):
        try:
            if not is_canonical(document):
                faults.append(f"Entry {sequence} is not written in canonical form.")
        except NoEntry as error:
            faults.append(f"Entry {sequence} cannot be read: {error}.")
    return faults


def held_against(
    printed: Head, site: str, head: Head, hash_at: str | None, *, name: str = "the printed head"
) -> list[str]:
    """What a head that was told before says against the ledger, which stands at `head`.

    `hash_at` is the stored hash at the sequence of that head, `name` what a sentence calls it.
    """
    if printed.site != site:
        return [f"{name.capitalize()} is of site {printed.site}; this book is of site {site}."]
    if printed.sequence > head.sequence:
        return [f"The ledger ends at entry {head.sequence}; {name} knew entry {printed.sequence}: its tail is lost."]
    if printed.sequence and hash_at != printed.hash:
        return [f"Entry {printed.sequence} is not the one {name} knew: the ledger was written anew."]
    return []
