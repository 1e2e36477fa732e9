"""Somebody who knows the format forges the book: verification tells of each forgery below a head that was kept."""

import os
from collections.abc import Callable
from itertools import islice
from pathlib import Path
from typing import Any

import pytest

from acts import Writer, opened

Count = Callable[..., dict[str, Any]]
TRIES = 2800 if "TORQUEAUDIT_PROOF" in os.environ else 100


@pytest.mark.proof
@pytest.mark.parametrize("seed", [1, 2])
def test_no_forgery_goes_unnoticed(count: Count, begun: Path, tmp_path: Path, seed: int) -> None:
    """Ledger, words, lists, schema and papers, also with a right chain; 5,600 tries in `make proof`."""
    with opened(begun) as workshop:
        acts = Writer(workshop, "a", tmp_path).acts()
        told = list(islice(acts, 18))
        head = workshop.book.tell_head()
        told += islice(acts, 4)
    figures = count("tampering.py", begun.parent, head, TRIES, seed)

    assert (0, {}) == (figures["unnoticed"], figures["first"])
    assert TRIES == figures["tries"]
    assert figures["kinds"] >= 45
    assert 22 == len(told)
