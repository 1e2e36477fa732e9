"""A backup is put back: nothing that lay there is lost, and what the backup has not is told before anything moves."""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from datetime import date, timedelta
from itertools import count
from pathlib import Path
from random import Random
from typing import TypeAlias

import pytest

from torqueaudit.book import heads, last_night
from torqueaudit.book.errors import BookError
from torqueaudit.book.places import heads_of, papers_of, photos_of, seals_of
from torqueaudit.book.secrets import Secrets
from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.checkpoint import Checkpoint
from torqueaudit.ledger.merkle import HASH
from torqueaudit.ledger.note import in_base64
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.plugins import Plugins
from torqueaudit.testing import Clock
from torqueaudit.workshop.door.held import held_against
from torqueaudit.workshop.door.seal import key_at_hand, keys_of, newest_fitting, seal
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.night.heartbeat import last_audited, nights_to_run
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.night.verified import verified
from torqueaudit.workshop.opening import new_workshop, open_workshop
from torqueaudit.workshop.restore import Restored, Shorter, restore
from torqueaudit.workshop.vehicles.vehicle import add_vehicle
from torqueaudit.workshop.wrenches.calibrations import calibrate

Open: TypeAlias = Callable[[], AbstractContextManager[Workshop]]
LOST = Shorter("the disk broke", lambda _: Say("P-1"))


@pytest.fixture
def opened(book_file: Path, clock: Clock, installed_plugins: Plugins) -> Open:
    """Open the book that lies there now."""

    seeds = count(7)

    @contextmanager
    def open_() -> Iterator[Workshop]:
        with open_workshop(book_file, clock=clock, chance=Random(next(seeds)), plugins=installed_plugins) as workshop:
            yield workshop

    return open_


@pytest.fixture
def backup(opened: Open, tmp_path: Path) -> Path:
    """A backup with a photo and a seal, and behind it three more entries and a told head in the book."""
    with opened() as workshop:
        workshop.book.photos.mkdir()
        (workshop.book.photos / "a.jpg").write_bytes(b"picture")
        workshop.book.backup(tmp_path / "copy.book")
        add(workshop, 3)
        workshop.book.tell_head()
    return tmp_path / "copy.book"


def add(workshop: Workshop, entries: int = 1) -> None:
    """Record this many entries."""
    for number in range(entries):
        add_vehicle(workshop, f"bike-{workshop.book.head().sequence}-{number}", "Kestrel 500", 2030, {}, Say("P-1"))


def everything(folder: Path) -> dict[str, bytes]:
    """Each file of a folder with what is in it; the line of writers and what a log or a journal keeps hold nothing."""
    none = ("-turns", "-shm", "-journal")
    files = [each for each in folder.rglob("*") if each.is_file() and not each.name.endswith(none)]
    return {str(each.relative_to(folder)): each.read_bytes() for each in files}


def test_a_backup_of_all_there_is_is_put_back(opened: Open, book_file: Path, tmp_path: Path, clock: Clock) -> None:
    """The book is lost, its heads lie there: the backup is held against them, and the book goes on."""
    with opened() as workshop:
        workshop.book.photos.mkdir()
        (workshop.book.photos / "a.jpg").write_bytes(b"picture")
        head = workshop.book.backup(tmp_path / "copy.book")
    book_file.unlink()
    before = everything(tmp_path)
    done = restore(book_file, tmp_path / "copy.book", clock=clock)

    aside = tmp_path / f"yard.book.aside-{clock():%Y%m%dT%H%M%SZ}"
    assert Restored(head, None, (), known=True, beside=(), aside=aside) == done
    assert before["copy.book"] == (tmp_path / "copy.book").read_bytes()
    assert b"picture" == (photos_of(book_file) / "a.jpg").read_bytes()
    with opened() as workshop:
        assert ([], []) == (workshop.book.verify(), workshop.book.remarks())
        add(workshop)
        assert [] == workshop.book.verify(head)


def test_a_night_of_the_book_that_lay_there_is_none_of_the_one_put_back(
    opened: Open, backup: Path, book_file: Path, clock: Clock
) -> None:
    """What the backup has was not audited that late: its nights are missing, and made up for."""
    with opened() as workshop:
        last_night.keep(book_file, workshop.today() - timedelta(days=1), clock())
        assert [] == nights_to_run(workshop)
    done = restore(book_file, backup, shorter=LOST, clock=clock)

    assert done.aside
    assert last_night.newest(done.aside / "yard.book")
    with opened() as workshop:
        assert last_audited(workshop) is None
        assert [workshop.today() - timedelta(days=1)] == nights_to_run(workshop)


def test_whoever_may_write_the_book_may_write_down_its_heads_again(
    opened: Open, book_file: Path, tmp_path: Path, clock: Clock
) -> None:
    """The file of told heads that comes with a backup has the rights of the book that lay there."""
    with opened() as workshop:
        workshop.book.backup(tmp_path / "copy.book")
    book_file.chmod(0o660)
    restore(book_file, tmp_path / "copy.book", clock=clock)

    assert [0o660, 0o660] == [each.stat().st_mode & 0o777 for each in (book_file, heads_of(book_file))]


def test_a_backup_that_ends_too_early_moves_nothing(opened: Open, backup: Path, book_file: Path, clock: Clock) -> None:
    """Whether the head was told, lies in a seal, is on paper, or the book alone has the entries."""
    with opened() as workshop:
        told = workshop.book.head()
        add(workshop)
        head = workshop.book.head()
    before = everything(book_file.parent)
    told_on = f"and the head told on {clock():%Y-%m-%d} knew entry {told.sequence}"

    for says in (
        f"ends at entry {told.sequence - 3}, and a head that was told, or the book itself, knew entry {head.sequence}",
        f"entries {told.sequence - 2} to {head.sequence} would be lost. Give another backup, or say",
    ):
        with pytest.raises(Refused, match=says):
            restore(book_file, backup, clock=clock)
    assert before == everything(book_file.parent)

    book_file.unlink()
    with pytest.raises(Refused, match=told_on):
        restore(book_file, backup, clock=clock)
    heads_of(book_file).unlink()
    with pytest.raises(Refused, match=f"knew entry {head.sequence}"):
        restore(book_file, backup, str(head), clock=clock)
    seals_of(book_file).mkdir()
    text = Checkpoint(head, bytes(HASH), "2031-04-02T09:00:00Z").text
    (seals_of(book_file) / "YARD-0000000009.txt").write_text(f"{text}\n— torqueaudit/YARD {in_base64(bytes(68))}\n")
    with pytest.raises(Refused, match=f"the head told on 2031-04-02 knew entry {head.sequence}"):
        restore(book_file, backup, clock=clock)
    assert {"copy.book", "copy-photos/a.jpg", "yard-photos/a.jpg", "yard.book.seals/YARD-0000000009.txt"} == set(
        everything(book_file.parent)
    )


@pytest.mark.parametrize("spoilt", [bytes(range(255, 5, -1)) * 2, b"\n\0", b"\xff"])
def test_heads_that_cannot_be_read_are_not_passed_over(
    opened: Open, backup: Path, book_file: Path, clock: Clock, spoilt: bytes
) -> None:
    """The shorter backup is refused as long as nobody gives a head on paper, or says that the rest is lost."""
    with opened() as workshop:
        paper = workshop.book.head()
    book_file.unlink()
    heads_of(book_file).write_bytes(spoilt)
    before = everything(book_file.parent)
    with pytest.raises(Refused, match=r"yard\.book\.heads is there and cannot be read, so it is not known how far"):
        restore(book_file, backup, clock=clock)
    with pytest.raises(Refused, match=f"knew entry {paper.sequence}"):
        restore(book_file, backup, str(paper), clock=clock)
    assert before == everything(book_file.parent)
    done = restore(book_file, backup, shorter=LOST, clock=clock)

    assert done.lost is not None
    assert "Which entries are lost is not known" == done.lost.says
    with opened() as workshop:
        says = f"{done.lost.says}, says P-1 in entry {done.lost.first} of {clock():%Y-%m-%d}: a backup was put back."
        assert [says] == workshop.book.remarks()
        assert [] == workshop.book.verify()


def test_heads_whose_last_line_a_power_cut_tore_are_read(
    opened: Open, backup: Path, book_file: Path, clock: Clock
) -> None:
    """It was not told yet, so those before it are all there are; also where it is the first, or nothing."""
    with opened() as workshop:
        workshop.book.backup(newer := book_file.with_name("newer.book"))
    book_file.unlink()
    whole = heads_of(book_file).read_bytes()
    for content in (whole + whole[:40], whole[:30], b""):
        heads_of(book_file).write_bytes(content)
        assert restore(book_file, newer, clock=clock).lost is None
    assert backup.exists()


def test_what_is_lost_is_said_by_an_entry_for_ever(opened: Open, backup: Path, book_file: Path, clock: Clock) -> None:
    """The heads that were told of it are no damage any more, on paper neither, and every verification speaks of it."""
    with opened() as workshop:
        paper = workshop.book.head()
    done = restore(book_file, backup, shorter=LOST, clock=clock)
    first = paper.sequence - 2

    assert done.lost is not None
    assert (first, paper.sequence, "P-1") == done.lost[:3]
    with opened() as workshop:
        add(workshop, 5)
        workshop.book.tell_head()
        says = f"Entries {first} to {paper.sequence} are lost, says P-1 in entry {first} of {clock():%Y-%m-%d}: "
        assert [f"{says}a backup was put back."] == workshop.book.remarks()
        assert [] == workshop.book.verify() == workshop.book.verify(paper)
        assert paper in [each.head for each in heads.told(book_file)]
        beyond = Head("YARD", paper.sequence + 1, "0" * 64)
        assert "is not the one the printed head knew: " in workshop.book.verify(beyond)[0]
        elsewhere = Head("FARM", paper.sequence, "0" * 64)
        assert "The printed head is of site FARM; this book is of site YARD." == workshop.book.verify(elsewhere)[0]
        told = [line.says for section in night_of(workshop, workshop.today()).sections for line in section.lines]
        assert (
            f"P-1 put back a backup: the disk broke. Entries {first} to {paper.sequence} are lost. What was told there "
            "has to be told again." in told
        )


def test_a_head_that_a_damaged_book_told_stands_in_nobodys_way(opened: Open, book_file: Path, clock: Clock) -> None:
    """Its newest hash was spoilt, and somebody looked at a record: a foreman says that this head does not hold."""
    with opened() as workshop:
        sound = workshop.book.backup(book_file.with_name("copy.book"))
        workshop.book.engine.run("drop trigger ledger_no_update")
        spoilt = "update ledger set hash = replace(hash, 'a', 'b') where position = ?"
        workshop.book.engine.run(spoilt, (sound.sequence,))
        told = workshop.book.tell_head()
    assert told != sound
    with pytest.raises(Refused, match=f"entry {sound.sequence} of .* is not the one that the head told on .* knew"):
        restore(book_file, book_file.with_name("copy.book"), clock=clock)
    done = restore(book_file, book_file.with_name("copy.book"), shorter=LOST, clock=clock)

    assert done.lost is not None
    assert ("No entry is lost", (str(told),)) == (done.lost.says, done.lost.heads)
    with opened() as workshop:
        add(workshop, 3)
        workshop.book.tell_head()
        assert [] == workshop.book.verify(sound) == workshop.book.verify(told)
        assert workshop.book.remarks()[0].endswith("a backup was put back, and 1 head told before does not hold.")


def test_a_lost_paper_keeps_no_backup_from_being_put_back(
    opened: Open, book_file: Path, clock: Clock, tmp_path: Path
) -> None:
    """It is told, by its place in the book; and a verification goes on to tell it."""
    (tmp_path / "scan.pdf").write_bytes(b"%PDF-1.7 invented")
    with opened() as workshop:
        certificate = Calibrate(date(2031, 3, 1), certificate="C-1", file=tmp_path / "scan.pdf")
        calibrate(workshop, "W-1", certificate, Say("P-1"))
        workshop.book.backup(tmp_path / "copy.book")
    (paper,) = papers_of(tmp_path / "copy.book").iterdir()
    paper.unlink()
    done = restore(book_file, tmp_path / "copy.book", clock=clock)
    says = f"The paper {papers_of(book_file) / paper.name} is lost; bring it back from a backup."

    assert (says,) == done.beside
    with opened() as workshop:
        assert [says] == workshop.book.verify()


def test_a_checkpoint_of_lost_entries_is_no_damage(
    opened: Open, book_file: Path, clock: Clock, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """It was mailed before the disk broke, and signed with a key that the ledger names; another one is damage."""
    folder = tmp_path_factory.mktemp("mail")
    with opened() as workshop:
        at_hand = key_at_hand(workshop, Secrets(folder / "secrets.json", book_file))
        workshop.book.backup(book_file.with_name("copy.book"))
        add(workshop, 3)
        mailed = Path(shutil.copy(seal(workshop, at_hand).file, folder))
    restore(book_file, book_file.with_name("copy.book"), shorter=LOST, clock=clock)
    forged = folder / "forged.txt"
    note = mailed.read_text(encoding="utf-8")
    forged.write_text(f"{note[:-8]}AAAAAA=\n", encoding="utf-8")

    with opened() as workshop:
        held = held_against(workshop, [mailed])
        assert ((), (mailed,), 0) == (held.faults, held.lost, held.given.number)
        assert ["the signature does not hold"] == [
            each.partition(": ")[2].partition(";")[0] for each in held_against(workshop, [forged]).faults
        ]
        add(workshop, 9)
        assert (mailed,) == held_against(workshop, [mailed]).lost


def test_a_checkpoint_is_no_damage_where_the_entry_that_names_its_key_is_lost_too(
    opened: Open, book_file: Path, clock: Clock, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Its signature cannot be checked, which is a remark; beside the book, where a repair copies it to, neither."""
    folder = tmp_path_factory.mktemp("mail")
    secrets = Secrets(folder / "secrets.json", book_file)
    with opened() as workshop:
        workshop.book.backup(book_file.with_name("copy.book"))
        at_hand = key_at_hand(workshop, secrets)
        add(workshop, 3)
        mailed = Path(shutil.copy(seal(workshop, at_hand).file, folder))
    restore(book_file, book_file.with_name("copy.book"), shorter=LOST, clock=clock)
    seals_of(book_file).mkdir()
    beside = Path(shutil.copy(mailed, seals_of(book_file)))
    stranger = folder / "stranger.txt"
    stranger.write_text(mailed.read_text(encoding="utf-8").replace("\n— torqueaudit/YARD", "\n— torqueaudit/FARM"))

    with opened() as workshop:
        held = held_against(workshop, [mailed])
        assert ((), (mailed, beside)) == (held.faults, tuple(sorted(held.lost)))
        says = "its signature cannot be checked, as no entry that is left names its key."
        assert sorted(f"{file}: {says}" for file in (mailed, beside)) == list(held.remarks)
        assert 1 == len(held_against(workshop, [stranger]).faults)
        again = seal(workshop, key_at_hand(workshop, secrets))
        assert again.checkpoint.size < int(beside.stem[-10:])
        assert again == newest_fitting(workshop, keys_of(workshop))
        add(workshop, 9)
        held = held_against(workshop, [mailed])
        assert ((), 1, 2) == (held.faults, held.kept.number, len(held.lost))
        assert () == verified(workshop, None, workshop.today(), 500_000).faults


def test_only_a_foreman_says_that_entries_are_lost(backup: Path, book_file: Path, clock: Clock) -> None:
    """And not without a reason; nothing has moved then."""
    before = everything(book_file.parent)
    for shorter in (Shorter("the disk broke", lambda _: Say("P-2")), Shorter(" ", lambda _: Say("P-1"))):
        with pytest.raises(Refused, match=r"only a foreman|say why"):
            restore(book_file, backup, shorter=shorter, clock=clock)

    assert before == everything(book_file.parent)


@pytest.mark.parametrize("lies", ["garbage", "a folder", "half a book", "a log of another book"])
def test_whatever_lies_there_is_put_aside(backup: Path, book_file: Path, clock: Clock, lies: str) -> None:
    """The book in its place is sound, and what lay there is in the folder, byte for byte."""
    match lies:
        case "garbage":
            book_file.write_bytes(b"no book at all")
        case "half a book":
            book_file.write_bytes(book_file.read_bytes()[:50_000])
        case "a log of another book":
            book_file.with_name("yard.book-wal").write_bytes(Path(sys.executable).read_bytes()[:9000])
        case _:
            book_file.unlink()
            book_file.mkdir()
            (book_file / "mine.txt").write_text("mine")
    there = {name: what for name, what in everything(book_file.parent).items() if not name.startswith("copy")}
    done = restore(book_file, backup, shorter=LOST, clock=clock)

    assert done.aside is not None
    assert there == everything(done.aside)
    with open_workshop(book_file, clock=clock) as workshop:
        assert [] == workshop.book.verify()


def test_a_backup_beside_the_log_of_a_killed_program(opened: Open, backup: Path, book_file: Path, clock: Clock) -> None:
    """The log goes aside with the file it belongs to: over the backup it would damage it."""
    with opened() as workshop:
        add(workshop, 2)
        if not book_file.with_name("yard.book-wal").exists():
            pytest.skip("this SQLite keeps no log")
        log = book_file.with_name("yard.book-wal").read_bytes()
        file = book_file.read_bytes()
    book_file.write_bytes(file)
    book_file.with_name("yard.book-wal").write_bytes(log)
    done = restore(book_file, backup, shorter=LOST, clock=clock)

    assert done.aside is not None
    assert (file, log) == ((done.aside / "yard.book").read_bytes(), (done.aside / "yard.book-wal").read_bytes())
    assert not book_file.with_name("yard.book-wal").exists()
    assert done.lost is not None
    with open_workshop(done.aside / "yard.book", clock=clock) as before, open_workshop(book_file) as after:
        assert before.book.head().sequence == done.lost.last
        assert [] == before.book.verify() == after.book.verify()


def test_a_backup_that_is_no_good_is_refused(backup: Path, book_file: Path, clock: Clock, tmp_path: Path) -> None:
    """One that is missing, damaged, of another site or of another ledger, and the book itself."""
    before = everything(book_file.parent)
    damaged = tmp_path / "damaged.book"
    damaged.write_bytes(backup.read_bytes().replace(b'"P-1"', b'"P-7"', 1))
    (tmp_path / "torn.book").write_bytes(backup.read_bytes()[:40_000])
    (tmp_path / "text.book").write_bytes(b"no book at all")
    (tmp_path / "barn").mkdir()
    new_workshop(tmp_path / "barn" / "barn.book", "BARN", {"zone": "UTC"}, clock=clock)
    new_workshop(tmp_path / "barn" / "yard.book", "YARD", {"zone": "UTC"}, clock=clock)
    for name, says in {
        "none.book": "There is no backup at",
        "damaged.book": "damaged.book is no sound backup: Entry ",
        "torn.book": r"torn.book (is damaged|is no sound backup)",
        "text.book": "text.book is not a book, so it is no backup; give the file that was copied",
        "barn": "barn is a folder, not a backup; give the file that was copied",
        "barn/barn.book": "barn.book is of site BARN, and the head told on .* is of site YARD",
        "barn/yard.book": "yard.book ends at entry 1, and the head told on",
        "yard.book": "is the book itself",
    }.items():
        with pytest.raises((BookError, Refused), match=says) as told:
            restore(book_file, tmp_path / name, clock=clock)
        assert "coming" not in str(told.value)
    after = everything(book_file.parent)

    assert before == {name: what for name, what in after.items() if name in before}
    assert [] == list(tmp_path.glob("*.aside*"))


@pytest.mark.parametrize("journal", ["wal", "truncate"])
def test_a_book_that_another_program_has_open_is_left_alone(
    backup: Path, book_file: Path, clock: Clock, journal: str
) -> None:
    """In either journal mode, also where it only waits."""
    with subprocess.Popen(
        [sys.executable, "-c", HOLD, book_file, journal], stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as other:
        assert other.stdout is not None
        other.stdout.readline()
        before = everything(book_file.parent)
        with pytest.raises(BookError, match="is open in another program; stop that one first"):
            restore(book_file, backup, shorter=LOST, clock=clock)
        assert before == everything(book_file.parent)
        other.communicate(b"\n")

    assert restore(book_file, backup, shorter=LOST, clock=clock).lost


def test_a_restore_that_was_killed_anywhere_is_done_again(
    opened: Open, backup: Path, book_file: Path, clock: Clock, tmp_path: Path
) -> None:
    """At every call that makes, moves or removes a file: what lay there is there, and the second run ends well."""
    program: list[str | Path] = [sys.executable, Path(__file__).with_name("killed_restore.py")]
    with opened() as workshop:
        (papers_of(book_file)).mkdir()
        (papers_of(book_file) / "a.pdf").write_bytes(b"%PDF-paper")
        last = workshop.book.head().sequence
    assert backup.exists()
    kept = tmp_path.with_name(f"{tmp_path.name}-kept")
    shutil.copytree(tmp_path, kept)
    there = {name: what for name, what in everything(kept).items() if not name.startswith("copy")}
    whole = work_in(tmp_path, kept)
    calls = int(
        subprocess.run([*program, whole, whole.with_name("copy.book"), "0"], capture_output=True, check=True).stdout
    )
    every = 1 if "TORQUEAUDIT_PROOF" in os.environ else 7
    for call in range(1, calls + 1, every):
        book = work_in(tmp_path, kept)
        died = subprocess.run(
            [*program, book, book.with_name("copy.book"), str(call)], capture_output=True, check=False
        )
        assert 9 == died.returncode, died.stderr
        found = list(everything(book.parent).values())
        assert all(what in found for what in there.values()), call
        if book.exists():
            with open_workshop(book, clock=clock) as workshop:
                assert [] == workshop.book.verify()
        restore(book, book.with_name("copy.book"), shorter=LOST, clock=clock)
        found = [what for each in book.parent.glob("*.aside-*") for what in everything(each).values()]
        assert all(what in found for what in there.values()), call
        assert [] == list(book.parent.glob("*.aside-*/coming"))
        with open_workshop(book, clock=clock) as workshop:
            assert [] == workshop.book.verify()
            assert f"to {last} are lost" in workshop.book.remarks()[0]
    assert calls > 20


HOLD = """
import sys
from pathlib import Path
from torqueaudit.book.sqlite.connection import connect
connection = connect(Path(sys.argv[1]), 1)
connection.execute(f"pragma journal_mode = {sys.argv[2]}")
connection.execute("select count(*) from ledger").fetchone()
print(flush=True)
input()
"""


def work_in(folder: Path, kept: Path) -> Path:
    """A fresh copy of everything; its book."""
    shutil.rmtree(folder / "work", ignore_errors=True)
    shutil.copytree(kept, folder / "work")
    return folder / "work" / "yard.book"
