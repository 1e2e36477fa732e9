"""The disk fails while a command runs: one sentence, an exit code, nothing acknowledged is lost, and it can go on."""

from itertools import islice
from pathlib import Path

import pytest
from PIL import Image

from acts import Writer, opened
from calls import LIST, LISTED, LOG, MAPPING, PICTURE, SHOWN
from counted import PROOF, Count, in_both_journals
from torqueaudit.model.act import Say
from torqueaudit.model.log.mapping import read_mapping
from torqueaudit.plugin.commands import unit_table
from torqueaudit.workshop.jobs.logs import enter_logged, look_at_log
from torqueaudit.workshop.jobs.photos import photograph

TRIES = 500 if PROOF else 9
ACTS = (
    "loosen",
    "enter",
    "calibrate",
    "erase",
    "pin",
    "photograph",
    "unphotograph",
    "picture",
    "import",
    "move-in",
    "confirm",
)
OTHERS = ("rebuild", "show", "verify", "new", "backup", "export", "head", "publish")


@pytest.fixture
def used(begun: Path) -> Path:
    """A book with acts of most kinds and a photo; in files beside it a certificate, a PIN, a photo and a procedure."""
    (begun.parent / "c.pdf").write_bytes(b"%PDF-1.4 invented")
    (begun.parent / "pin").touch(mode=0o600)
    (begun.parent / "pin").write_bytes(b"314159")
    Image.new("RGB", (64, 48), (120, 110, 100)).save(begun.parent / "mark.jpg")
    for name, text in (
        ("shown.toml", SHOWN),
        ("log.csv", LOG),
        ("log.toml", MAPPING),
        ("list.csv", LIST),
        ("list.toml", LISTED),
    ):
        (begun.parent / name).write_text(text, encoding="utf-8")
    with opened(begun) as workshop:
        acts = list(islice(Writer(workshop, "a", begun.parent).acts(), 4))
        photograph(workshop, "1", ["rear-axle-nut"], PICTURE, "", Say("P-2"))
        one_row = look_at_log(
            workshop, "a.csv", LOG.replace("108.5", "107").encode(), read_mapping(MAPPING, unit_table()), Say("P-1")
        )
        enter_logged(workshop, one_row._replace(rows=one_row.rows[:1]), Say("P-1"))
    assert 4 == len(acts)
    return begun


@pytest.mark.proof
@pytest.mark.parametrize("commands", [ACTS, OTHERS], ids=["acts", "others"])
@in_both_journals
def test_a_call_that_fails_loses_nothing(count: Count, used: Path, commands: tuple[str, ...], own_sqlite: bool) -> None:  # noqa: FBT001
    """Opened, read, written, cut, flushed, renamed: each may fail once or for ever, and a write may stop half way.

    2,000 calls in `make proof`, drawn from some 12,000.
    """
    figures = count("calls.py", used, TRIES, 1, *commands, own_sqlite=own_sqlite)

    assert (TRIES, 0, []) == (figures["tried"], figures["lost"], figures["first"])
