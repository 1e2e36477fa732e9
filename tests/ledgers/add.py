"""Keep a ledger of this version, with what it shows: once for each release, and never again under the same name.

    python tests/ledgers/add.py NAME

It plays the demo and then `story.txt` with the installed program, so the story has to hold every kind of entry and
every key that an entry may have; `test_ledgers.py` says what it lacks. A line that begins with "page" is what somebody
does on a page.
"""

import json
import lzma
import os
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterable
from contextlib import suppress
from datetime import UTC, datetime, time, timedelta
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

from torqueaudit.book.book import Book
from torqueaudit.book.places import papers_of, photos_of
from torqueaudit.book.words import rows_after
from torqueaudit.ledger.entry import document_of, moment_of
from torqueaudit.model.act import Came, Refused, Say
from torqueaudit.model.recheck.reminders import ReminderKey, ReminderKind
from torqueaudit.model.register.permits import NIGHT
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.opening import open_workshop
from torqueaudit.workshop.recheck.reminding import Wanted
from torqueaudit.workshop.recheck.sending import record_sent
from torqueaudit.workshop.signing.devices import admit
from torqueaudit.workshop.signing.pins import MOST_WRONG, require_pin

HERE = Path(__file__).parent
PROGRAM = Path(sys.executable).with_name("torqueaudit")
# Of the job that has something of everything, and of two from the demo.
TIGHTENINGS = (
    *(("15", key) for key in ("angle-bolt", "slotted-nut", "drag-nut", "least-nut", "cover-bolt", "glued-screw")),
    ("5", "rear-axle-nut"),
    ("12", "rear-axle-nut"),
)
MISSED = 1  # the exit code of a night that found something
# The demo is always played up to this day, for what is told in the story follows on it.
DEMO_ON, NIGHT_OF_THE_LAST_ACTS = "2024-05-11", "2024-05-10"


def play(folder: Path) -> Path:
    """The book of the demo, with the story behind it."""
    book = folder / "demo" / "yard.book"
    os.environ |= {"TORQUEAUDIT_SECRETS": str(folder / "secrets.json"), "TORQUEAUDIT_PIN_FILE": str(folder / "pin")}
    (folder / "pin").touch(mode=0o600)
    (folder / "pin").write_text("271828\n", encoding="ascii")
    subprocess.run([PROGRAM, "demo", book.parent, "--on", DEMO_ON], check=True, stdout=subprocess.DEVNULL)
    printed = ""
    for line in (HERE / "story.txt").read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            words = shlex.split(filled(line, book, folder))
            if words[0] == "page":
                on_a_page(book, *words[1:], printed=printed)
                continue
            command: list[str | Path] = [PROGRAM, "--book", book, *words]
            told = subprocess.run(command, check=False, cwd=HERE, stdout=subprocess.PIPE, encoding="utf-8")
            printed = told.stdout
            if told.returncode and (words[0], told.returncode) != ("nightly", MISSED):
                sys.exit(f"the story was refused at: {line}")
    return book


def on_a_page(path: Path, act: str, device: str = "", person: str = "", *, printed: str) -> None:
    """Let in whoever opens the address that was printed, or tell wrong PINs of a person on a device.

    Or note that the owner of a job's vehicle was reminded, as it is noted behind a mail server's yes.
    """
    with open_workshop(path) as workshop:
        if act == "reminded":
            note_reminded(workshop, device)
            return
        if act == "admit":
            admit(workshop, printed.split("/admit/")[1].split(maxsplit=1)[0])
            return
        for _ in range(MOST_WRONG):
            with suppress(Refused):
                require_pin(workshop, device, person, "314159")


def note_reminded(workshop: Workshop, job: str) -> None:
    """Note that an owner was reminded of a re-check that is due."""
    record = workshop.record(job)
    left = record.first_ride
    if left is None:
        sys.exit(f"job {job} has not left")
    leaving, target = left.noted.entry, left.noted.number
    key = ReminderKey(job, record.token, leaving=leaving, target=target, kind=ReminderKind.DUE)
    record_sent(workshop, Wanted(record.vehicle, key, left.due_on), "mail", Say(NIGHT, came=Came("night")))


def opened(path: Path) -> Book:
    return Book.open(path, lambda: datetime.fromisoformat("2031-01-01T00:00:00Z"), Random(1))


def length(path: Path) -> int:
    """The number of its newest entry."""
    with opened(path) as book:
        return book.head().sequence


def filled(line: str, book: Path, folder: Path) -> str:
    """A line of the story with what is known when it is played."""
    line = line.replace("{last}", str(length(book))).replace("{folder}", str(folder))
    line = line.replace("{soon}", f"{datetime.now(UTC).date() + timedelta(days=30)}")
    return line.replace("{photo}", newest_photo(book)) if "{photo}" in line else line


def newest_photo(path: Path) -> str:
    """The digest of the photo that was taken last."""
    with opened(path) as book:
        taken = (entry.said["digest"] for entry, _ in reversed(book.ledger()) if entry.what == "photographed")
        return str(next(taken))


def keep(path: Path, kept: Path) -> None:
    """Its entries, their words, its papers and photos, and what is to be asked of it."""
    with opened(path) as book:
        entries, head = [entry for entry, _ in book.ledger()], book.head()
        words = [row._asdict() for row in rows_after(book.engine, 0)]
    kept.mkdir()
    compress(kept / "entries.jsonl.xz", map(document_of, entries))
    compress(kept / "words.jsonl.xz", (json.dumps(row, ensure_ascii=False) for row in words))
    shutil.copytree(papers_of(path), kept / "papers")
    shutil.copytree(photos_of(path), kept / "photos")
    at = datetime.combine(
        moment_of(entries[-1].recorded_at), time(20), tzinfo=moment_of(entries[-1].recorded_at).tzinfo
    )
    asked: dict[str, Any] = {
        "site": head.site,
        "head": str(head),
        "at": at.isoformat(),
        "jobs": [entry.key for entry in entries if entry.kind == "opened.1"],
        "tightenings": TIGHTENINGS,
        "wrenches": [e.key for e in entries if e.kind == "entered.1" and e.subject.startswith("wrench/")],
        "nights": [NIGHT_OF_THE_LAST_ACTS, at.date().isoformat()],
    }
    (kept / "head.json").write_text(json.dumps(asked, indent=2) + "\n", encoding="utf-8")


def compress(file: Path, lines: Iterable[str]) -> None:
    """Write lines into a file."""
    text = "".join(f"{line}\n" for line in lines)
    file.write_bytes(lzma.compress(text.encode(), preset=9 | lzma.PRESET_EXTREME))


def main(name: str) -> None:
    """Play, keep, show."""
    kept = HERE / name
    if kept.exists():
        sys.exit(f"{kept} is there already, and what is kept is never changed; give another name")
    with TemporaryDirectory() as folder:
        keep(play(Path(folder)), kept)
        fresh = Path(folder) / "fresh"
        fresh.mkdir()
        with (kept / "shown.txt").open("wb") as shown:
            subprocess.run([sys.executable, HERE / "show.py", kept, fresh], check=True, stdout=shown)


if __name__ == "__main__":
    main(sys.argv[1])
