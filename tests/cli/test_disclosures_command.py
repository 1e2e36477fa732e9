"""`torqueaudit disclosures`, as a foreman types it whose customer asks who has seen the plate."""

import subprocess
from collections.abc import Callable
from pathlib import Path

from torqueaudit.model.act import Came, Say
from torqueaudit.testing import Clock
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.search.disclosures import disclose

Run = Callable[..., subprocess.CompletedProcess[str]]


def test_who_saw_what_is_one_line_each(run: Run, book_file: Path) -> None:
    """By the workshop's clock; a number that nobody has is told in one sentence."""
    nobody = run("disclosures", "V-1")
    with open_workshop(book_file, clock=Clock()) as workshop:
        disclose(workshop, Say("P-2", came=Came("page", "PIN", "D-1")), {"vehicle/V-1": ["plate", "contact"]})
    told = run("disclosures", "v1")
    wrong = run("disclosures", "W-1")

    assert "Nobody was shown anything that is known of V-1.\n" == nobody.stdout
    assert "2031-04-02 08:00  P-2    page      V-1    contact, plate\n" == told.stdout
    assert (1, "W-1: no vehicle and no person has this number; `torqueaudit vehicle list` shows them\n") == (
        wrong.returncode,
        wrong.stderr,
    )
