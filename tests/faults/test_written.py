"""What a command says is written is there after a power cut right behind it: files, folders and their names."""

import shutil
from pathlib import Path

import pytest
from PIL import Image

from acts import opened
from calls import LOG, MAPPING, PHOTO, PICTURE, SHOWN
from counted import PROOF, Count
from torqueaudit.book.places import papers_of, photos_of
from torqueaudit.model.act import Say
from torqueaudit.workshop.jobs.photos import photograph

STATES = 200 if PROOF else 10
COMMANDS = {
    "a report": ("nightly", "--out", "{folder}/new/reports"),
    "a label": ("label", "1", "--stock", "a4-3x8", "--out", "{folder}/label.pdf"),
    "a record on paper": ("job", "record", "1", "--out", "{folder}/record.pdf"),
    "pictures of stocks": ("label", "stocks", "--pictures", "{folder}/new/stocks"),
    "a head": ("ledger", "head"),
    "a certificate": (
        *("wrench", "calibrate", "W-1", "--on", "2025-03-03", "--as-found", "100 N·m: 99 99 99 99 99; W 1 %"),
        *("--file", "{folder}/paper.pdf", "--by", "P-1"),
    ),
    "published pages": ("publish", "--out", "{folder}/new/web"),
    "rows left out": ("import", "{folder}/log.csv", "--mapping", "{folder}/log.toml", "--yes", "--by", "P-1"),
    "a photo": ("photo", "add", "1", "rear-axle-nut", "{folder}/mark.jpg", "--by", "P-1"),
    "a picture": ("procedure", "enter", "{folder}/shown.toml", "--by", "P-1"),
    "a photo erased": ("photo", "erase", "1", PHOTO.digest, "--why", "a face was on it", "--by", "P-1"),
    "a backup": ("book", "backup", "{folder}/copy.book"),
    "a backup put back": ("book", "restore", "{folder}/sound.book"),
    "an export": ("book", "export", "{folder}/new/out"),
    "a repaired book": ("book", "repair", "{folder}/sound.book", "--out", "{folder}/new.book"),
}


@pytest.mark.proof
@pytest.mark.parametrize("written", COMMANDS)
def test_what_was_said_to_be_written_is_there(count: Count, begun: Path, written: str) -> None:
    """Every file of the folder, whole, in every state that the disk may be in; in 200 of them in `make proof`."""
    (begun.parent / "paper.pdf").write_bytes(b"%PDF-1.7 invented")
    Image.new("RGB", (64, 48), (120, 110, 100)).save(begun.parent / "mark.jpg")
    (begun.parent / "shown.toml").write_text(SHOWN, encoding="utf-8")
    (begun.parent / "log.csv").write_text(LOG.replace("109,rear", "109,front"), encoding="utf-8")
    (begun.parent / "log.toml").write_text(MAPPING, encoding="utf-8")
    with opened(begun) as workshop:
        workshop.clock.set("2025-03-02 12:00")  # type: ignore[attr-defined]  # that of the acts
        photograph(workshop, "1", ["rear-axle-nut"], PICTURE, "", Say("P-2", id="photo"))
    shutil.copy(begun, begun.with_name("sound.book"))
    shutil.copytree(photos_of(begun), photos_of(begun.with_name("sound.book")))
    papers_of(begun.with_name("sound.book")).mkdir()
    (papers_of(begun.with_name("sound.book")) / "ab.pdf").write_bytes(b"%PDF-1.7 invented")
    words = [word.format(folder=begun.parent) for word in COMMANDS[written]]
    figures = count("written.py", begun.parent, STATES, begun, *words)

    assert [] == figures["lost"]
    assert figures["files"] > 2


def test_a_disk_that_flushes_nothing_is_found_out(count: Count, begun: Path) -> None:
    """The same harness, where nothing was flushed."""
    figures = count("written.py", begun.parent, STATES, "--deaf", begun, "book", "backup", begun.parent / "copy.book")

    assert "copy.book" in figures["lost"]
