"""The Merkle tree over the documents of a ledger, in the order of the sequence: RFC 9162, section 2.1, with SHA-256.

A leaf is the hash of 0x00 and the document, an inner node that of 0x01 and its two children. The left part of a tree of
n leaves holds as many as the largest power of two below n.
"""

from collections.abc import Iterable, Sequence
from functools import reduce
from hashlib import sha256

HASH = 32  # bytes


def leaf_of(document: bytes) -> bytes:
    """The hash of a leaf."""
    return sha256(b"\x00" + document).digest()


def node_of(left: bytes, right: bytes) -> bytes:
    """The hash of an inner node."""
    return sha256(b"\x01" + left + right).digest()


class Frontier:
    """The whole subtrees that the first `size` leaves make, the largest first: all that is needed to go on from there.

    Each subtree holds as many leaves as one binary digit of `size` says, so there are as many `hashes` as it has ones.
    Raises ValueError where these do not agree.
    """

    def __init__(self, size: int = 0, hashes: Iterable[bytes] = ()) -> None:
        self.size = size
        self.hashes = list(hashes)
        if size < 0 or len(self.hashes) != size.bit_count() or any(len(each) != HASH for each in self.hashes):
            raise ValueError(f"a tree of {size} leaves does not end in {len(self.hashes)} such subtrees")

    def add(self, leaf: bytes) -> None:
        """Put one leaf's hash behind the others."""
        node, size = leaf, self.size
        while size & 1:
            node = node_of(self.hashes.pop(), node)
            size >>= 1
        self.hashes.append(node)
        self.size += 1

    @property
    def root(self) -> bytes:
        """The root of the tree as it stands."""
        if not self.hashes:
            return sha256().digest()
        return reduce(lambda right, left: node_of(left, right), reversed(self.hashes))


def root_of(leaves: Iterable[bytes]) -> bytes:
    """The root over the hashes of leaves."""
    frontier = Frontier()
    for leaf in leaves:
        frontier.add(leaf)
    return frontier.root


def path_to(index: int, leaves: Sequence[bytes]) -> list[bytes]:
    """The audit path of the leaf at `index` (from 0), the hash beside the leaf first (RFC 9162, section 2.1.3.1)."""
    if len(leaves) == 1:
        return []
    left = 1 << (len(leaves) - 1).bit_length() - 1
    if index < left:
        return [*path_to(index, leaves[:left]), root_of(leaves[left:])]
    return [*path_to(index - left, leaves[left:]), root_of(leaves[:left])]


def root_by(path: Sequence[bytes], index: int, size: int, leaf: bytes) -> bytes | None:
    """The root that a path leads to from a leaf; None where the path has another length than the place asks for.

    RFC 9162, section 2.1.3.2.
    """
    node, place, last = leaf, index, size - 1
    if not 0 <= place <= last:
        return None
    for beside in path:
        if last == 0:
            return None
        if place & 1 or place == last:
            node = node_of(beside, node)
            while place and not place & 1:
                place, last = place >> 1, last >> 1
        else:
            node = node_of(node, beside)
        place, last = place >> 1, last >> 1
    return node if last == 0 else None
