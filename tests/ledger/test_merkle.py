"""The tree over a ledger: whatever its size, each path leads to the root, and the frontier is all that is needed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.ledger.merkle import Frontier, leaf_of, path_to, root_by, root_of

MOST = 70
LEAVES = [leaf_of(f"entry {number}".encode()) for number in range(1, MOST + 1)]


def test_every_path_of_every_small_tree_leads_to_its_root_and_to_no_other_place() -> None:
    """Each size up to 70 and each index; beside it, in a longer or in a shorter tree, the path leads elsewhere."""
    for size in range(1, MOST + 1):
        root = root_of(LEAVES[:size])
        for index in range(size):
            path = path_to(index, LEAVES[:size])
            assert root == root_by(path, index, size, LEAVES[index])
            assert root not in {root_by(path, other, size, LEAVES[index]) for other in range(size) if other != index}


@given(st.integers(1, 3000), st.data())
def test_a_path_is_refused_with_any_bit_of_it_turned(size: int, data: st.DataObject) -> None:
    """Or with a hash too many or too few."""
    leaves = [leaf_of(str(number).encode()) for number in range(size)]
    index = data.draw(st.integers(0, size - 1))
    root, path = root_of(leaves), path_to(index, leaves)
    assert root == root_by(path, index, size, leaves[index])
    assert root_by([*path, root], index, size, leaves[index]) is None
    if path:
        assert root_by(path[:-1], index, size, leaves[index]) is None
        at, bit = data.draw(st.integers(0, len(path) - 1)), data.draw(st.integers(0, 255))
        turned = (int.from_bytes(path[at], "big") ^ 1 << bit).to_bytes(32, "big")
        assert root != root_by([*path[:at], turned, *path[at + 1 :]], index, size, leaves[index])


@given(st.integers(0, MOST), st.integers(0, MOST))
def test_a_tree_goes_on_from_its_frontier(first: int, second: int) -> None:
    """Its subtrees are kept, and their leaves are not."""
    before, after = sorted((first, second))
    began = Frontier()
    for leaf in LEAVES[:before]:
        began.add(leaf)
    grown = Frontier(began.size, began.hashes)
    for leaf in LEAVES[before:after]:
        grown.add(leaf)

    assert (after, root_of(LEAVES[:after])) == (grown.size, grown.root)


@pytest.mark.parametrize(("size", "hashes"), [(3, [b"a" * 32]), (1, [b"a"]), (-1, [b"a" * 32]), (0, [b"a" * 32])])
def test_what_is_no_frontier_is_refused(size: int, hashes: list[bytes]) -> None:
    """As many subtrees as the size has binary ones, each of 32 bytes."""
    with pytest.raises(ValueError, match="does not end in"):
        Frontier(size, hashes)
