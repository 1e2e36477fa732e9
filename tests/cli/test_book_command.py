"""`torqueaudit book`, as whoever keeps the book types it."""

import sqlite3
import subprocess
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path

Run = Callable[..., subprocess.CompletedProcess[str]]


def add(run: Run) -> None:
    """Record one entry."""
    assert 0 == run("vehicle", "add", "one more", "--model", "Kestrel 500", "--by", "P-1").returncode


def head(run: Run) -> str:
    """The head, told."""
    return run("ledger", "head").stdout.strip()


def test_a_backup_says_what_is_in_it(run: Run, book_file: Path) -> None:
    """Its head, the folders, and what is never in it."""
    copy = book_file.with_name("copy.book")
    book_file.with_name("yard.book.papers").mkdir()
    done = run("book", "backup", str(copy))

    assert (0, "") == (done.returncode, done.stderr)
    assert [
        f"{copy}: a copy of the book, sound up to {head(run)}",
        "In it, beside the file: copy.book.papers.",
        "Not in it: keys and other secrets, procedures as files, plugins, reports. Keep them elsewhere.",
    ] == done.stdout.splitlines()


def test_a_backup_is_put_back_and_what_it_has_not_is_said(run: Run, book_file: Path) -> None:
    """First refused with what to type; then the book is there again, and what lay there beside it."""
    copy = str(book_file.with_name("copy.book"))
    run("book", "backup", copy)
    last = int(head(run).split("/")[1])
    add(run)
    head(run)
    refused = run("book", "restore", copy)
    wrong = run("book", "restore", copy, "--shorter")
    done = run("book", "restore", copy, "--shorter", "--why", "the disk broke", "--by", "P-1")
    aside = next(book_file.parent.glob("yard.book.aside-*"))

    assert (1, 2, 0) == (refused.returncode, wrong.returncode, done.returncode), done.stderr
    assert refused.stderr.endswith(
        f"knew entry {last + 1}: entry {last + 1} would be lost. Give another backup, or say that what it has not is "
        "lost: --shorter --why … --by P-…\n"
    )
    assert "say with --why why it is lost" in wrong.stderr
    assert [
        f"{book_file}: put back from {copy}, sound up to {head(run)}",
        f"Entry {last + 1} is lost; entry {last + 1} says so now.",
        f"What lay there is in {aside}; keep it until you are sure.",
    ] == done.stdout.splitlines()
    verified = run("ledger", "verify")
    assert 0 == verified.returncode
    assert f"Entry {last + 1} is lost, says P-1 in entry {last + 1} of " in verified.stdout


def test_a_backup_is_held_against_a_head_on_paper(run: Run, book_file: Path, tmp_path: Path) -> None:
    """On a new machine nothing else is known of the book."""
    copy, place = str(book_file.with_name("copy.book")), tmp_path / "new" / "yard.book"
    place.parent.mkdir()
    run("book", "backup", copy)
    known = head(run)
    add(run)
    refused = run("book", "restore", copy, "--head", head(run), book=place)
    done = run("book", "restore", copy, "--head", known, book=place)

    assert (1, 0) == (refused.returncode, done.returncode), done.stderr
    assert [
        f"{place}: put back from {copy}, sound up to {known}",
        "Nothing is lost up to the newest head that was told before.",
    ] == done.stdout.splitlines()
    assert 0 == run("ledger", "verify", book=place).returncode


def test_a_book_is_exported_and_made_again(run: Run, tmp_path: Path) -> None:
    """The head that was exported is the head of the book that is made of it."""
    out, again = tmp_path / "out", tmp_path / "again.book"
    done = run("book", "export", str(out))
    made = run("book", "import", str(out), book=again)
    refused = run("book", "export", str(out))

    assert (0, 0, 1) == (done.returncode, made.returncode, refused.returncode), done.stderr + made.stderr
    assert f"up to {head(run)}" in done.stdout.splitlines()[0]
    assert [
        "Free words are in it, which may name somebody: keep it where nobody else reads it.",
        f"{out / 'README.txt'} says how to check it.",
    ] == done.stdout.splitlines()[1:]
    assert f"{again}: made of {out}, sound up to {head(run)}" == made.stdout.strip()
    assert f"{out} is there already" in refused.stderr
    assert 0 == run("ledger", "verify", "--head", head(run), book=again).returncode


def test_a_damaged_book_is_read_out(run: Run, book_file: Path) -> None:
    """Exit code 0 where nothing is lost and 1 where anything is; each file beside the new book is named."""
    new, known = book_file.with_name("new.book"), head(run)
    sound = run("book", "repair", str(book_file), "--out", str(new))
    spoilt = book_file.with_name("spoilt.book")
    spoilt.write_bytes(book_file.read_bytes().replace(b'"kind":"settled.1"', b'"kind":"unknown.1"'))
    again = book_file.with_name("again.book")
    done = run("book", "repair", str(spoilt), "--out", str(again))
    entries = int(known.split("/")[1])

    assert (0, "") == (sound.returncode, sound.stderr)
    assert [
        f"{new}: {entries} entries, sound up to {known}; every list is written anew from them.",
        "Nothing is lost.",
    ] == sound.stdout.splitlines()
    assert 0 == run("ledger", "verify", "--head", known, book=new).returncode
    assert 1 == done.returncode
    assert f"{again}.unchained.jsonl: {entries} entries that are not in the new book." in done.stdout.splitlines()
    assert f"The chain goes up to entry 0; {entries} entries cannot go on with it" in done.stdout


def test_a_rebuild_says_that_the_file_is_damaged_elsewhere(run: Run, book_file: Path) -> None:
    """The lists are sound then, and a page that no list lies in is not: as `ledger verify` tells it."""
    with closing(sqlite3.connect(book_file)) as book:
        book.execute("pragma wal_checkpoint(truncate)")
        ((page,),) = book.execute("select rootpage from sqlite_schema where name = 'locked'")
        ((size,),) = book.execute("pragma page_size")
    content = bytearray(book_file.read_bytes())
    content[size * (page - 1) : size * page] = b"\x55" * size
    book_file.write_bytes(content)
    done, verified = run("book", "rebuild"), run("ledger", "verify")

    assert (1, 1) == (done.returncode, verified.returncode)
    assert "every list is written anew from the ledger\n" == done.stdout
    assert f"{book_file} is damaged (The file is damaged: SQLite's check of its pages found " in done.stderr
    assert "keep it as it is" in done.stderr


def test_a_backup_of_each_day_has_a_name_of_its_own_and_the_oldest_go(run: Run, book_file: Path, today: date) -> None:
    """The one just made stays, also beside those of a clock that ran ahead; other names are left alone."""
    folder = book_file.parent / "backups"
    folder.mkdir()
    for name in ("yard-2030-01-01.book", "yard-2030-01-02.book", "yard-2030-01-02-old.book", "other-2030-01-01.book"):
        (folder / name).write_text("a backup", encoding="utf-8")
    (folder / "yard-2030-01-01-photos").mkdir()
    done = run("book", "backup", str(folder), "--daily", "--keep", "2")
    again = run("book", "backup", str(folder), "--daily", "--keep", "1")

    assert (0, 0) == (done.returncode, again.returncode), done.stderr
    assert f"taken away: {folder / 'yard-2030-01-01.book'}\n" in done.stdout
    assert f"{folder / f'yard-{today}.book'} was made already; nothing was written over it.\n" == again.stdout
    assert {
        "other-2030-01-01.book",
        "yard-2030-01-02-old.book",
        "yard-2030-01-02.book",
        f"yard-{today}.book",
    } == {each.name for each in folder.iterdir()}


def test_other_backups_are_taken_away_by_nobody(run: Run, book_file: Path) -> None:
    """Wrong use, in one sentence."""
    done = run("book", "backup", str(book_file.with_name("copy.book")), "--keep", "3")

    assert (2, True) == (done.returncode, "--keep goes with --daily" in done.stderr)
