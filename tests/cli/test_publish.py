"""Publishing at the command line: what it says, and with which exit code."""

import subprocess
from collections.abc import Callable
from pathlib import Path

from torqueaudit.model.act import Say
from torqueaudit.testing import play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.register.settings import settle

Run = Callable[..., subprocess.CompletedProcess[str]]
OPENED = "2024-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2"


def test_what_the_workshop_has_not_chosen_is_said(run: Run, workshop: Workshop, tmp_path: Path) -> None:
    """Each with the setting that answers it; the pages are written all the same."""
    play(workshop, OPENED)
    done = run("publish", "--out", str(tmp_path / "web"))

    assert 0 == done.returncode
    for setting in ("--telephone", "--mail", "--labels-published"):
        assert f"`settings change {setting}" in done.stderr


def test_a_workshop_that_has_chosen_is_told_nothing(run: Run, workshop: Workshop, tmp_path: Path) -> None:
    """How many files there are, and no more."""
    play(workshop, OPENED)
    chosen = {
        "base_address": "https://labels.example",
        "telephone": "+99 555 00 00",
        "mail_address": "yard@yard.example",
        "labels_published": True,
    }
    settle(workshop, chosen, Say("P-1"))
    done = run("publish", "--out", str(tmp_path / "web"))

    assert (0, "") == (done.returncode, done.stderr)
    assert f"{tmp_path / 'web'}: 2 files written, 0 as they were.\n" == done.stdout


def test_what_lies_in_a_pages_place_is_said(run: Run, workshop: Workshop, tmp_path: Path) -> None:
    """It stays as it is, and the exit code is 1."""
    play(workshop, OPENED)
    foreign = tmp_path / "web/r/index.html"
    foreign.parent.mkdir(parents=True)
    foreign.write_text("mine")
    done = run("publish", "--out", str(tmp_path / "web"))

    assert (1, "mine") == (done.returncode, foreign.read_text())
    assert f"{foreign} was not written by this command, so it stays; move it away. Then publish again." in done.stderr
