"""Somebody who knows the format forges the book: verification tells of each forgery below a head that was kept."""

import shutil
from itertools import islice
from pathlib import Path

import pytest

from acts import Writer, opened
from counted import PROOF, Count
from says import by_night
from torqueaudit.book.secrets import Secrets
from torqueaudit.workshop.door.seal import key_at_hand, seal

SEEDS = (1, 2) if PROOF else (1,)
TRIES = 2800 if PROOF else 110
CHECKPOINTS = 2800 if PROOF else 55
NIGHTS = 2800 if PROOF else 55
SHARED = 1400 if PROOF else 6


@pytest.mark.proof
@pytest.mark.parametrize("seed", SEEDS)
def test_no_forgery_goes_unnoticed(count: Count, begun: Path, tmp_path: Path, seed: int) -> None:
    """Ledger, words, names, lists, schema and papers, also with a right chain; 5,600 tries in `make proof`."""
    with opened(begun) as workshop:
        acts = Writer(workshop, "a", tmp_path).acts()
        told = list(islice(acts, 18))
        head = workshop.book.tell_head()
        told += islice(acts, 4)
    figures = count("tampering.py", begun.parent, head, TRIES, seed, "verify")

    assert (0, {}) == (figures["unnoticed"], figures["first"])
    assert TRIES == figures["tries"]
    assert figures["kinds"] >= 50
    assert 22 == len(told)


@pytest.mark.proof
@pytest.mark.parametrize("seed", SEEDS)
def test_processes_that_share_a_book_find_what_one_finds(count: Count, begun: Path, tmp_path: Path, seed: int) -> None:
    """In the same words and order, some kinds of forgery; each kind of them, 2,800 tries, in `make proof`."""
    with opened(begun) as workshop:
        acts = Writer(workshop, "a", tmp_path).acts()
        told = list(islice(acts, 18))
        head = workshop.book.tell_head()
        told += islice(acts, 4)
    figures = count("tampering.py", begun.parent, head, SHARED, seed, "shares")

    assert (0, {}) == (figures["unnoticed"], figures["first"])
    assert (SHARED, 22) == (figures["tries"], len(told))
    assert not PROOF or figures["kinds"] <= SHARED


@pytest.mark.proof
@pytest.mark.parametrize("seed", SEEDS)
def test_no_forgery_goes_unnoticed_by_a_checkpoint(count: Count, begun: Path, tmp_path: Path, seed: int) -> None:
    """That was kept elsewhere, also where head and seals beside the book are removed; 5,600 tries in `make proof`."""
    secrets = Secrets(tmp_path / "own" / "secrets.json", begun)
    with opened(begun) as workshop:
        acts = Writer(workshop, "a", tmp_path).acts()
        told = list(islice(acts, 18))
        checkpoint = shutil.copy(seal(workshop, key_at_hand(workshop, secrets)).file, tmp_path)
        head = workshop.book.tell_head()
        told += islice(acts, 4)
    figures = count("tampering.py", begun.parent, head, CHECKPOINTS, seed, "checkpoint", checkpoint)

    assert (0, {}) == (figures["unnoticed"], figures["first"])
    assert (CHECKPOINTS, 22) == (figures["tries"], len(told))


@pytest.mark.proof
@pytest.mark.parametrize("seed", SEEDS)
def test_no_forgery_goes_unnoticed_by_the_night(
    count: Count, begun: Path, tmp_path: Path, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Of what an earlier night sealed; where nothing is forged the same night finds nothing."""
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(tmp_path / "office" / "secrets.json"))
    with opened(begun) as workshop:
        told = list(islice(Writer(workshop, "a", tmp_path).acts(), 18))
    quiet = [by_night(begun), by_night(begun)]
    with opened(begun) as workshop:
        head = workshop.book.head()
    figures = count("tampering.py", begun.parent, head, NIGHTS, seed, "night")

    assert [True, True] == [night.sound for night in quiet], quiet
    assert (0, {}) == (figures["unnoticed"], figures["first"])
    assert (NIGHTS, 18) == (figures["tries"], len(told))
