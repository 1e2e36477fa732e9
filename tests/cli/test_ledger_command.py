"""`torqueaudit ledger`, as a foreman types it when a remark names a customer."""

import json
import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path
from random import Random

import pytest

from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.opening import open_workshop

Run = Callable[..., subprocess.CompletedProcess[str]]
CARD = """
2025-03-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2025-03-02 10:05 rear-axle-nut 100 N·m with W-1 by P-2
2025-03-02 10:06 rear-axle-nut loosened: Mrs Nobody wanted to see it by P-2
"""


@pytest.fixture
def run_on_job(run: Run, book_file: Path, installed_plugins: Plugins) -> Run:
    """`run` on a book with a job, whose last entry has words."""
    with open_workshop(
        book_file, clock=Clock("2025-03-02 09:00"), chance=Random(6), plugins=installed_plugins
    ) as workshop:
        play(workshop, CARD)
    return run


def lines(done: subprocess.CompletedProcess[str]) -> list[str]:
    """What was printed, of a command that did what it was asked."""
    assert 0 == done.returncode, done.stderr
    return done.stdout.splitlines()


def last(run: Run) -> int:
    """The number of the newest entry."""
    return int(run("ledger", "head").stdout.split("/")[1])


def test_words_are_erased_and_every_command_says_so(run_on_job: Run, today: date) -> None:
    """The entry stays, the ledger is sound, and its head of before still holds."""
    entry, head = last(run_on_job), lines(run_on_job("ledger", "head"))[0]
    told = lines(run_on_job("ledger", "erase-words", f"#{entry}", "--why", "it named a customer", "--by", "P-1"))
    gone = f"words erased on {today} by P-1"

    assert [
        f"#{entry}: {gone}; the entry itself stays.",
        "Copies of the book and reports that were made before still hold the words.",
    ] == told
    assert lines(run_on_job("ledger", "show", "--from", str(entry), "--to", str(entry)))[0].endswith(
        f"why={gone} (card)"
    )
    assert {"why": gone} == json.loads(run_on_job("ledger", "show", "--from", str(entry), "--json").stdout)[0]["words"]
    assert f"loosened since ({gone})" in " ".join(run_on_job("job", "show", "1").stdout.split())
    assert lines(run_on_job("ledger", "verify", "--head", head))[-1].startswith("sound up to YARD/")
    assert f"P-1 erased the words of #{entry}: it named a customer." in " ".join(
        run_on_job("nightly", "--date", str(today)).stdout.split()
    )


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (
            ("99", "--why", "x", "--by", "P-1"),
            "entry 99: there is no such entry; the newest one is {last}; `torqueaudit",
        ),
        (("1", "--why", "x", "--by", "P-1"), "entry 1: it has no words to erase, such as a remark, a reason"),
        (("{last}", "--why", " ", "--by", "P-1"), "say why the words are erased, without what they said"),
        (("{last}", "--why", "x", "--by", "P-2"), "P-2 is mechanic; only a foreman may do this"),
        (("{last}", "--why", "Barnaby's", "--by", "P-1"), "holds a name or number of P-2; write P-2 instead"),
    ],
)
def test_what_cannot_be_erased_is_refused_in_one_sentence(run_on_job: Run, words: tuple[str, ...], says: str) -> None:
    """Exit code 1, and nothing is recorded."""
    entry = last(run_on_job)
    done = run_on_job("ledger", "erase-words", *(word.format(last=entry) for word in words))

    assert (1, 1) == (done.returncode, len(done.stderr.splitlines()))
    assert says.format(last=entry) in done.stderr
    assert entry == last(run_on_job)


def test_words_are_not_erased_without_a_reason(run_on_job: Run) -> None:
    """Wrong use, with an example of one."""
    done = run_on_job("ledger", "erase-words", str(last(run_on_job)), "--by", "P-1")

    assert 2 == done.returncode
    assert "Write it like --why “it named a customer”." in done.stderr


def test_whoever_forgets_a_vehicle_is_told_which_words_stay(run_on_job: Run) -> None:
    """Those of its jobs too, whoever told them."""
    entry = last(run_on_job)

    assert [
        "V-1: plate, frame number and contact are erased",
        f"Remarks and reasons of V-1 and its jobs stay in 1 entry: #{entry}.",
        f"Look at them, and erase what names somebody: `torqueaudit ledger erase-words {entry} --why …`",
    ] == lines(run_on_job("vehicle", "forget", "V-1", "--yes"))
    assert ["V-2: plate, frame number and contact are erased"] == lines(run_on_job("vehicle", "forget", "V-2", "--yes"))
