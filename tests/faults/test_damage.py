"""A disk goes bad: verification tells of whatever changes what the book says, in words."""

import shutil
from itertools import islice
from pathlib import Path

import pytest

from acts import Writer, fill_beside, opened
from counted import PROOF, Count
from torqueaudit.book.secrets import Secrets
from torqueaudit.workshop.door.seal import key_at_hand, seal

SEEDS = (1, 2) if PROOF else (1,)
TRIES = 3200 if PROOF else 75


@pytest.fixture(params=["closed", "open"])
def kept(request: pytest.FixtureRequest, begun: Path, tmp_path: Path) -> Path:
    """A folder with a book, papers, a seal and told heads; where the book was still open with a write-ahead log too."""
    folder = tmp_path / "kept"
    with opened(begun) as workshop:
        acts = list(islice(Writer(workshop, "a", tmp_path).acts(), 24))
        fill_beside(workshop)
        seal(workshop, key_at_hand(workshop, Secrets(tmp_path / "own" / "secrets.json", begun)))
        workshop.book.tell_head()
        if request.param == "open":
            shutil.copytree(begun.parent, folder)
    if request.param == "closed":
        shutil.copytree(begun.parent, folder)
    assert 24 == len(acts)
    return folder


@pytest.mark.proof
@pytest.mark.parametrize("seed", SEEDS)
def test_no_damage_goes_unnoticed(count: Count, kept: Path, seed: int) -> None:
    """Bits, zeros, noise, lost, swapped and moved pages and cut ends, in every file that the book keeps.

    What is found sound says all that it said before. 12,800 tries in `make proof`.
    """
    figures = count("bad_disk.py", kept, TRIES, seed)

    assert (0, []) == (figures["wrong"], figures["first"])
    assert TRIES == figures["tries"]
    assert figures["told"] > TRIES / 3
