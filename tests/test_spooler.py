"""What is said of a printer that takes nothing, or not all, or gives no answer. `lp` is a script here."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import TypeAlias

import pytest

from torqueaudit.spooler import NotPrinted, spool

Lp: TypeAlias = Callable[[str], None]
REPORT = "Report of 2031-04-02"


@pytest.fixture
def lp(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Lp:
    """Let `lp` be this script, which is handed the title as its fourth word."""
    monkeypatch.setenv("PATH", f"{tmp_path}{os.pathsep}{os.environ['PATH']}")

    def written(text: str) -> None:
        (tmp_path / "lp").write_text(f"#!/bin/sh\ncat > /dev/null\n{text}\n", encoding="utf-8")
        (tmp_path / "lp").chmod(0o755)

    return written


def told(files: int) -> str:
    """What is said when so many files are not printed."""
    with pytest.raises(NotPrinted) as caught:
        spool((b"%PDF",) * files, "desk", REPORT, patience=0.7)
    return str(caught.value)


def test_who_gives_no_answer_may_have_printed(lp: Lp) -> None:
    """Nobody prints it again before looking."""
    lp("sleep 5")

    assert (
        "printer desk: `lp` did not answer within 0.7 seconds, so it is not known whether “Report of 2031-04-02” is "
        "printed; look at the printer and what waits for it (`lpstat -o`) before you print it again." == told(1)
    )


def test_the_part_that_was_not_taken_is_named(lp: Lp) -> None:
    """With those before it, which were, and those behind it, which were not sent."""
    lp('case "$4" in *"(2 of 4)") echo "lp: out of paper" >&2; exit 1;; esac; echo "request id is desk-1"')

    assert (
        "printer desk did not take “Report of 2031-04-02 (2 of 4)”: lp: out of paper; `lpstat -p` lists the printers. "
        "Taken before it: request id is desk-1. Not sent: 2 of 4 parts." == told(4)
    )


def test_an_lp_that_cannot_be_run_prints_nothing(lp: Lp, tmp_path: Path) -> None:
    """It is told as the system tells it."""
    lp("")
    (tmp_path / "lp").write_bytes(b"\x7fELF, cut off")

    assert told(1) == "`lp` cannot be run (Exec format error), so “Report of 2031-04-02” was not printed."


def test_a_printer_that_takes_all_answers_for_each(lp: Lp) -> None:
    """In their order."""
    lp('echo "request id is $4"')

    assert "request id is A (1 of 2); request id is A (2 of 2)" == spool((b"%PDF", b"%PDF"), "desk", "A")
