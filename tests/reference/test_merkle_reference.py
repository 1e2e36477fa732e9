"""The tree and the signed note against what others published.

Roots and paths over eight leaves: the test vectors of the reference implementation of Certificate Transparency, which
RFC 6962 and RFC 9162 describe (from memory). The note: the example of the open specification C2SP, signed-note (from
memory). Both were worked out by other people's programs.
"""

from base64 import b64decode

import pytest

from torqueaudit.ledger.merkle import leaf_of, path_to, root_by, root_of
from torqueaudit.ledger.note import is_signed, key_id, note_of

LEAVES = [
    leaf_of(bytes.fromhex(text))
    for text in ("", "00", "10", "2021", "3031", "40414243", "5051525354555657", "606162636465666768696a6b6c6d6e6f")
]
ROOTS = [
    "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
    "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125",
    "aeb6bcfe274b70a14fb067a5e5578264db0fa9b51af5e0ba159158f329e06e77",
    "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
    "4e3bbb1f7b478dcfe71fb631631519a3bca12c9aefca1612bfce4c13a86264d4",
    "76e67dadbcdf1e10e1b74ddc608abd2f98dfb16fbce75277b5232a127f2087ef",
    "ddb89be403809e325750d3d263cd78929c2942b7942a34b77e122c9594a74c8c",
    "5dc9da79a70659a9ad559cb701ded9a2ab9d823aad2f4960cfe370eff4604328",
]
PATHS = [
    (0, 1, []),
    (
        *(0, 8),
        [
            "96a296d224f285c67bee93c30f8a309157f0daa35dc5b87e410b78630a09cfc7",
            "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
            "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4",
        ],
    ),
    (
        *(5, 8),
        [
            "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
            "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0",
            "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7",
        ],
    ),
    (2, 3, ["fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125"]),
    (
        *(1, 5),
        [
            "6e340b9cffb37a989ca544e6bb780a2c78901d3fb33738768511a30617afa01d",
            "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e",
            "bc1a0643b12e4d2d7c77918f44e0f4f79a838b6cf9ec5b5c283e1f4d88599e6b",
        ],
    ),
]
NOTE = """If you think cryptography is the answer to your problem,
then you don't know what your problem is.

— PeterNeumann x08go/ZJkuBS9UG/SffcvIAQxVBtiFupLLr8pAcElZInNIuGUgYN1FFYC2pZSNXgKvqfqdngotpRZb6KE6RyyBwJnAM=
"""
NAME = "PeterNeumann"
PUBLIC = b64decode("ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW")[1:]  # behind the byte that says Ed25519


def test_the_roots_are_the_published_ones() -> None:
    """Of no leaf, of one, and so on to eight."""
    assert [root_of(LEAVES[:size]).hex() for size in range(len(LEAVES) + 1)] == ROOTS


@pytest.mark.parametrize(("index", "size", "path"), PATHS)
def test_a_path_is_the_published_one_and_leads_to_the_published_root(index: int, size: int, path: list[str]) -> None:
    """RFC 9162, sections 2.1.3.1 and 2.1.3.2."""
    made = path_to(index, LEAVES[:size])
    root = root_by(made, index, size, LEAVES[index])

    assert [each.hex() for each in made] == path
    assert root
    assert root.hex() == ROOTS[size]


def test_the_published_note_is_read_and_its_signature_holds() -> None:
    """By the id of its key, and no longer once a letter is another one."""
    note = note_of(NOTE)

    assert "c74f20a3" == key_id(NAME, PUBLIC) == note.signatures[0].key_id
    assert NOTE == str(note)
    assert is_signed(note, NAME, PUBLIC)
    assert not is_signed(note_of(NOTE.replace("answer", "Answer")), NAME, PUBLIC)
