"""Certificates kept beside the book: by content, whole or not at all, and told when lost or changed."""

import random
from hashlib import sha256
from pathlib import Path

import pytest

from torqueaudit.book import papers
from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.book.lists.upkeep import RowsOf
from torqueaudit.book.places import papers_of
from torqueaudit.ledger.entry import Act, Draft, act_digest
from torqueaudit.model.wrench.wrench import Paper

PDF = b"%PDF-1.7 invented"


@pytest.fixture
def scan(tmp_path: Path) -> Path:
    """A certificate as it came."""
    file = tmp_path / "Certificate 17.PDF"
    file.write_bytes(PDF)
    return file


def keep(book: Book, scan: Path) -> Paper:
    """Keep a file, and append an entry that names it."""
    paper = papers.weigh(scan)
    papers.keep(book.path, scan, paper)
    said = {"on": "2031-04-01", "paper": paper._asdict()}
    act = Act(f"A{book.head().sequence}", act_digest("calibrated.1", "P-1", "wrench/W-1", said))
    book.append(
        act, [Draft(subject="wrench/W-1", kind="calibrated.1", happened_at=book.clock(), who="P-1", said=said)], {}
    )
    return paper


def test_a_paper_is_named_by_its_content(book: Book, scan: Path) -> None:
    """Outside check: hashlib's SHA-256 of the same bytes; nothing else is left in the folder."""
    paper = keep(book, scan)
    folder = book.path.with_name("yard.book.papers")

    assert Paper(sha256(PDF).hexdigest(), ".pdf", len(PDF)) == paper
    assert [paper.name] == [file.name for file in folder.iterdir()]
    assert PDF == (folder / paper.name).read_bytes()
    assert [] == book.verify()


def test_the_same_paper_again_is_kept_once(book: Book, scan: Path) -> None:
    """Two wrenches may stand on one certificate."""
    keep(book, scan)
    before = (papers_of(book.path) / papers.weigh(scan).name).stat().st_mtime_ns
    paper = keep(book, scan)

    assert before == (papers_of(book.path) / paper.name).stat().st_mtime_ns
    assert 1 == len(list(papers_of(book.path).iterdir()))


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("c.txt", PDF, "is kept as a PDF, PNG or JPEG file only"),
        ("c.pdf", b"<html>", "is called .pdf and is none inside"),
        ("c.png", PDF, "is called .png and is none inside"),
        ("c.pdf", PDF + b" " * papers.LARGEST, "is larger than 20 MB"),
        ("c.pdf", None, "cannot be read: No such file"),
    ],
    ids=["text", "not a pdf", "not a png", "large", "missing"],
)
def test_what_is_not_kept(tmp_path: Path, name: str, content: bytes | None, says: str) -> None:
    """One sentence, and no folder is made."""
    file = tmp_path / name
    if content is not None:
        file.write_bytes(content)

    with pytest.raises(BookError, match=says):
        papers.weigh(file)


@pytest.mark.parametrize(
    ("name", "begins", "suffix"), [("a.JPEG", b"\xff\xd8\xff\xe0", ".jpg"), ("b.png", b"\x89PNG\r\n\x1a\n", ".png")]
)
def test_pictures_are_kept_too(tmp_path: Path, name: str, begins: bytes, suffix: str) -> None:
    """A photo of the certificate is what a phone makes."""
    file = tmp_path / name
    file.write_bytes(begins)

    assert suffix == papers.weigh(file).suffix


def test_a_file_that_changed_since_it_was_weighed_is_refused(book: Book, scan: Path) -> None:
    """Nothing of it is left in the folder."""
    paper = papers.weigh(scan)
    scan.write_bytes(PDF + b"!")

    with pytest.raises(BookError, match="changed while it was copied"):
        papers.keep(book.path, scan, paper)
    assert [] == list(papers_of(book.path).iterdir())


def test_a_folder_that_cannot_be_made_is_one_sentence(book: Book, scan: Path) -> None:
    """A file stands where the folder should."""
    papers_of(book.path).write_text("mine")

    with pytest.raises(BookError, match="cannot be kept in"):
        papers.keep(book.path, scan, papers.weigh(scan))
    assert "mine" == papers_of(book.path).read_text()


def test_a_full_disk_keeps_nothing(book: Book, scan: Path) -> None:
    """More would have to stay free than there is."""
    with pytest.raises(BookError, match="must stay free"):
        papers.keep(book.path, scan, papers.weigh(scan), 2**60)
    assert not papers_of(book.path).exists()


def test_a_paper_lost_or_changed_is_told(book: Book, scan: Path) -> None:
    """Whichever it is, with what to do; the ledger itself stays sound."""
    place = papers_of(book.path) / keep(book, scan).name
    place.write_bytes(PDF.replace(b"1.7", b"1.6"))
    changed = book.verify()
    place.unlink()

    assert [f"The paper {place} was changed; bring it back from a backup."] == changed
    assert [f"The paper {place} is lost; bring it back from a backup."] == book.verify()


def test_a_changed_copy_is_mended_by_keeping_the_paper_again(book: Book, scan: Path) -> None:
    """Whoever still has the certificate needs no backup."""
    place = papers_of(book.path) / keep(book, scan).name
    place.write_bytes(b"")
    keep(book, scan)

    assert [] == book.verify()


def test_a_backup_takes_the_papers_along(book: Book, scan: Path, rows_of: RowsOf, tmp_path: Path) -> None:
    """Beside the copy under its own name; one half copied is not taken."""
    paper = keep(book, scan)
    (papers_of(book.path) / "x.pdf.17.part").write_bytes(b"half")
    folder = tmp_path / "backup"
    folder.mkdir()
    book.backup(folder / "copy.book")

    assert [paper.name] == [file.name for file in (folder / "copy.book.papers").iterdir()]
    with Book.open(folder / "copy.book", book.clock, random.Random(1), rows_of=rows_of) as copy:
        assert [] == copy.verify()


def test_a_backup_goes_over_no_papers(book: Book, tmp_path: Path) -> None:
    """A folder of another book stands there."""
    other = tmp_path / "copy.book.papers"
    other.mkdir()

    with pytest.raises(BookError, match="is there already"):
        book.backup(tmp_path / "copy.book")
    assert not (tmp_path / "copy.book").exists()
