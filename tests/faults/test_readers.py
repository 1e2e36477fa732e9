"""Nothing but a refusal in a sentence comes out of any reader, whatever a person or a file says."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from counted import PROOF
from readers import Reader, Untold, readers, shares, tried, untold
from spoilt import spoilt
from torqueaudit.model.act import Refused

TRIES = 1_050_000 if PROOF else 12_000
SEED = int(os.environ.get("TORQUEAUDIT_SEED", "1"))


@pytest.mark.proof
def test_no_reader_raises_what_is_no_refusal(
    book_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, record_property: Callable[[str, object], None]
) -> None:
    """Words, heads, entries, notes, procedures, stocks, job cards, commands, photos: 1,050,000 in `make proof`."""
    monkeypatch.chdir(tmp_path)  # where a spoilt command may write
    known = readers(book_file)
    counts = shares(known, TRIES)
    found = [each for name, reader in known.items() for each in tried(name, reader, SEED, counts[name])]
    record_property("figures", counts)

    assert [] == found
    assert len(counts) >= 40
    assert sum(counts.values()) >= TRIES * 0.99


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (Refused("write one number"), True),
        (ValueError("x: write a date as 2031-04-02"), True),
        (ValueError("invalid literal for int() with base 10: 'x'"), False),
        (ValueError(""), False),
        (KeyError("position"), False),
        (RecursionError("too deep"), False),
        (OverflowError("too large"), False),
    ],
    ids=repr,
)
def test_what_is_no_refusal_is_noticed(error: Exception, told: bool) -> None:  # noqa: FBT001  # of the table
    """A reader that raises an error of Python, or no sentence, is found out."""

    def read(_: object) -> None:
        raise error

    assert bool(untold(read, "x")) is not told
    found = list(tried("own", Reader(("x",), read, 1), SEED, 3))
    assert found == ([] if told else [Untold("own", each.given, each.error) for each in found])
    assert len(found) == (0 if told else 3)


def test_most_of_what_is_tried_is_spoilt_a_little() -> None:
    """Some is as it was, most differs, and much of what differs is nearly the same length."""
    from random import Random

    chance, sample = Random(1), "100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %"
    words = [spoilt(chance, [sample]) for _ in range(1000)]

    assert 50 < sum(each == sample for each in words) < 400
    assert sum(abs(len(each) - len(sample)) < 10 for each in words) > 500
