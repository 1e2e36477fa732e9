"""An export is read and checked without the program, and a book made of it is the same book."""

import json
import re
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from pathlib import Path
from random import Random

import pytest

from torqueaudit.book import papers
from torqueaudit.book.book import Book
from torqueaudit.book.copies.export import export
from torqueaudit.book.copies.form import FOLDERS, listed
from torqueaudit.book.copies.from_export import from_export
from torqueaudit.book.copies.part_folder import in_making
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import LISTS
from torqueaudit.book.words import rows_after
from torqueaudit.model.act import Say
from torqueaudit.reports.data import harmless
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.vehicles.vehicle import add_vehicle

CARD = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 100 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut loosened: “the owner” wanted to see it by P-2
2031-04-02 10:09 rear-axle-nut 100 N·m with W-1 by P-2
2031-04-02 10:10 rear-axle-nut loosened: a line and half of it by P-2
"""
NAMES = (b"Ottoline", b"Barnaby", b"Y-ARD 101")
Rows = dict[str, list[tuple[object, ...]]]


@pytest.fixture
def written(workshop: Workshop) -> Workshop:
    """A workshop with a job, words that stand and words that are erased, a paper, a photo and a seal."""
    play(workshop, CARD)
    erase_words(workshop, [workshop.book.with_words()[0]], "it named the owner", Say("P-1"))
    add_vehicle(workshop, "=1+1", "Kestrel 500", 2030, {}, Say("P-1"))
    workshop.book.photos.mkdir()
    (workshop.book.photos / "a.jpg").write_bytes(b"picture")
    source = workshop.book.path.with_name("scan.pdf")
    source.write_bytes(b"%PDF-1.7 invented")
    papers.keep(workshop.book.path, source, papers.weigh(source))
    return workshop


@pytest.fixture
def exported(written: Workshop, tmp_path: Path) -> Path:
    """The folder of its export, with personal data."""
    export(written.book, tmp_path / "out", harmless, personal=True)
    return tmp_path / "out"


def lists_of(book: Book) -> Rows:
    """Every row of every list, and the words."""
    found: Rows = {name: sorted(book.rows(f"select * from {name}"), key=repr) for name in LISTS}  # noqa: S608
    return {**found, "words": list(rows_after(book.engine, 0))}


def test_every_line_can_be_checked_by_hand(exported: Path, written: Workshop) -> None:
    """Outside check: hashlib and json alone; each line gives its hash, names the one before, and its words fit."""
    texts = (exported / "entries.jsonl").read_bytes().removesuffix(b"\n").split(b"\n")
    hashes = (exported / "hashes.txt").read_text().split()
    entries = [json.loads(text) for text in texts]
    words = [json.loads(line) for line in (exported / "words.jsonl").read_text().split("\n")[:-1]]

    assert hashes == [sha256(text).hexdigest() for text in texts]
    assert ["0" * 64, *hashes[:-1]] == [entry["previous"] for entry in entries]
    assert f"YARD/{len(entries)}/{hashes[-1]}" == json.loads((exported / "manifest.json").read_text())["head"]
    assert str(written.book.head()) == json.loads((exported / "manifest.json").read_text())["head"]
    standing = [row for row in words if row["text"] is not None]
    assert len(standing) == len(words) - 1 == 2
    for row in standing:
        digest = sha256((row["salt"] + row["text"]).encode()).hexdigest()
        assert digest == entries[row["entry"] - 1]["payload"]["words"][row["field"]]


def test_the_export_says_itself_how_it_is_checked(exported: Path) -> None:
    """Each line of README.txt that is to be typed, typed."""
    readme = (exported / "README.txt").read_text()
    shell = re.findall(r"^    (sed .*)$", readme, re.MULTILINE)
    python = "\n".join(line[4:] for line in readme.partition("in Python:\n")[2].splitlines())
    said = [
        subprocess.run(["sh", "-c", line], cwd=exported, capture_output=True, text=True, check=True).stdout.split()[0]
        for line in shell
    ]
    subprocess.run([sys.executable, "-c", python], cwd=exported, check=True)
    (exported / "words.jsonl").write_text("")
    changed = subprocess.run([sys.executable, "-c", python], cwd=exported, capture_output=True, text=True, check=False)

    assert 2 == len(said)
    assert said[0] == said[1]
    assert "AssertionError: words.jsonl" in changed.stderr


@pytest.mark.usefixtures("book_file")
def test_a_book_made_of_an_export_is_the_same(exported: Path, written: Workshop, tmp_path: Path, clock: Clock) -> None:
    """Head, lists, words, names, and what lies beside it; and it goes on."""
    place = tmp_path / "new" / "again.book"
    place.parent.mkdir()
    head = from_export(exported, place, clock, Random(9))

    assert written.book.head() == head
    with Book.open(place, clock, Random(10)) as again:
        assert lists_of(written.book) == lists_of(again)
        assert {"name": "Ottoline Sample"} == again.personal_of("person/P-1")
        assert written.book.mentions("Ottoline") == again.mentions("Ottoline")
        assert [] == again.verify(head)
        assert b"picture" == (again.photos / "a.jpg").read_bytes()
    names = ["again-photos", "again.book", "again.book.heads", "again.book.papers"]
    assert names == sorted(each.name for each in place.parent.iterdir())


def test_without_personal_data_no_name_is_in_it(written: Workshop, tmp_path: Path, clock: Clock) -> None:
    """In no file; and the book that is made of it knows nobody, and is sound."""
    export(written.book, tmp_path / "with", harmless, personal=True)
    export(written.book, tmp_path / "out", harmless, personal=False)
    from_export(tmp_path / "out", tmp_path / "again.book", clock, Random(9))

    def found(folder: str) -> set[bytes]:
        files = [each.read_bytes() for each in (tmp_path / folder).rglob("*") if each.is_file()]
        return {name for name in NAMES for content in files if name in content}

    assert (set(NAMES), set()) == (found("with"), found("out"))
    with Book.open(tmp_path / "again.book", clock, Random(10)) as again:
        assert {} == again.personal_of("person/P-1")
        assert [] == again.verify(written.book.head())


def test_no_cell_of_a_list_is_run(exported: Path) -> None:
    """A tag that a spreadsheet would take for a formula."""
    assert "'=1+1" in (exported / "lists" / "vehicles.csv").read_text()


def test_an_export_of_which_anything_changed_makes_no_book(exported: Path, tmp_path: Path, clock: Clock) -> None:
    """Each file in turn: one byte, gone, or one more; and nothing is left of the book."""
    place = tmp_path / "again.book"
    for file in [each for each in exported.rglob("*") if each.is_file()]:
        content = file.read_bytes()
        for meddled in (content[:-1] + b"!", None):
            file.write_bytes(meddled) if meddled else file.unlink()
            with pytest.raises(BookError, match=r"was changed|is missing|is no list|cannot be read"):
                from_export(exported, place, clock, Random(9))
        file.write_bytes(content)
    (exported / "more.txt").write_text("mine")
    with pytest.raises(BookError, match=r"more\.txt is not part of the export"):
        from_export(exported, place, clock, Random(9))
    assert not [each for each in tmp_path.iterdir() if "again" in each.name]


@pytest.mark.parametrize("file", ["entries.jsonl", "hashes.txt", "words.jsonl"])
def test_an_export_whose_list_was_made_anew_is_found_out(
    exported: Path, tmp_path: Path, clock: Clock, file: str
) -> None:
    """Somebody changed a line and every digest of the list: the chain, or the words, say so."""
    lines = (exported / file).read_bytes().split(b"\n")
    lines[1] = lines[1].replace(b"a", b"b", 1).replace(b"line", b"LINE")
    (exported / file).write_bytes(b"\n".join(lines))
    told = json.loads((exported / "manifest.json").read_text())
    told["files"] = [each._asdict() for each in listed(exported)]
    (exported / "manifest.json").write_text(json.dumps(told))

    with pytest.raises(BookError, match=r"is no whole chain|makes no sound book|is not as an export writes it"):
        from_export(exported, tmp_path / "again.book", clock, Random(9))


def test_what_is_there_is_never_written_over(exported: Path, written: Workshop, tmp_path: Path, clock: Clock) -> None:
    """Neither a folder by an export nor a book, or what lies beside one, by an import."""
    with pytest.raises(BookError, match="is there already"):
        export(written.book, exported, harmless, personal=False)
    for name in ("again.book", "again-photos"):
        (tmp_path / name).mkdir()
        with pytest.raises(BookError, match="is there already"):
            from_export(exported, tmp_path / "again.book", clock, Random(9))
        (tmp_path / name).rmdir()
        (tmp_path / name).symlink_to(tmp_path / "away")  # a link that leads to nothing
        with pytest.raises(BookError, match="is there already"):
            from_export(exported, tmp_path / "again.book", clock, Random(9))
        (tmp_path / name).unlink()
    assert FOLDERS[0] in {each.name for each in exported.iterdir()}


def test_what_a_killed_export_left_is_taken_away(written: Workshop, tmp_path: Path) -> None:
    """By the next one to the same place; one that is being made just now, and another place's, are left alone."""
    left, other = tmp_path / ".out.abcd1234.part", tmp_path / ".outer.abcd1234.part"
    for each in (left, other):
        each.mkdir()
        (each / "entries.jsonl").write_text("half")
    with in_making(tmp_path / "out") as busy:
        export(written.book, tmp_path / "out", harmless, personal=False)
        assert (True, True, False) == (busy.exists(), other.exists(), left.exists())

    assert [other.name] == [each.name for each in tmp_path.glob(".*.part")]


def test_two_that_begin_at_once_leave_each_others_folder_alone(tmp_path: Path) -> None:
    """Each has its own until its end, whenever the other looks for what is left."""

    def make(times: int) -> int:
        kept = 0
        for _ in range(times):
            with in_making(tmp_path / "out") as folder:
                (folder / "entries.jsonl").touch()
                kept += (folder / "entries.jsonl").exists()
        return kept

    with ThreadPoolExecutor(4) as pool:
        assert [150] * 4 == list(pool.map(make, [150] * 4))
    assert [] == [*tmp_path.glob(".*.part")]


@pytest.mark.parametrize(
    "told", ["[]", "5", '{"form": 1}', '{"form": 2}', '{"form": 1, "head": 5, "files": []}', "{" * 100_000, "\ud800"]
)
def test_no_list_of_an_export_is_refused(exported: Path, tmp_path: Path, clock: Clock, told: str) -> None:
    """JSON of another kind, or none at all."""
    (exported / "manifest.json").write_bytes(told.encode(errors="surrogatepass"))

    with pytest.raises(BookError, match=r"is no list of an export|is of form 2"):
        from_export(exported, tmp_path / "again.book", clock, Random(9))


def test_a_list_without_the_entries_is_refused(exported: Path, tmp_path: Path, clock: Clock) -> None:
    """Whoever made it left them out."""
    told = json.loads((exported / "manifest.json").read_text())
    (exported / "entries.jsonl").unlink()
    told["files"] = [each for each in told["files"] if each["name"] != "entries.jsonl"]
    (exported / "manifest.json").write_text(json.dumps(told))

    with pytest.raises(BookError, match=r"does not name entries\.jsonl"):
        from_export(exported, tmp_path / "again.book", clock, Random(9))
