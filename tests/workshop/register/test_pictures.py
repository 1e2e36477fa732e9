"""Pictures of a procedure: entered with its text, part of what it is, and kept beside the book like photos of work."""

import os
from collections.abc import Callable
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from random import Random

import pytest
from PIL import Image

from torqueaudit.book import photos
from torqueaudit.book.book import Book
from torqueaudit.book.copies.export import export
from torqueaudit.book.copies.from_export import from_export
from torqueaudit.book.copies.repair import repair
from torqueaudit.book.places import photos_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.photo.harmless import SHOWN_SIDE, Harmless, make_harmless
from torqueaudit.reports.data import harmless
from torqueaudit.testing import Clock, play, procedure_head
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.photos import erase_photo, photograph
from torqueaudit.workshop.register.pictures import MOST, picture_file
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source
from torqueaudit.workshop.restore import restore

LOOK = '[[work]]\nstep = "look"\nname = "look"\nsays = "Look at it."\n'
WITH = f'{LOOK}picture = "nut.png"\npicture_says = "The nut from behind."\n'
SECRET = "Quillerhof 7, yard behind"  # an invented place
ENTERS, READS = Say("P-2"), Say("P-3")


def png(grey: int = 90, size: tuple[int, int] = (640, 480)) -> bytes:
    """A picture as somebody draws it, with what else a program writes into the file."""
    target = BytesIO()
    Image.new("RGB", size, (grey, grey, grey)).save(target, "PNG", dpi=(72, 72), pnginfo=_comment())
    return target.getvalue()


def _comment() -> object:
    from PIL.PngImagePlugin import PngInfo

    told = PngInfo()
    told.add_text("Comment", SECRET)
    return told


def kept(data: bytes) -> Harmless:
    """What is kept of a file, by the function that makes photos of work harmless."""
    return make_harmless(data, side=SHOWN_SIDE)


NUT = kept(png())
DIGEST = sha256(NUT.photo).hexdigest()


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A procedure with one picture beside it."""
    folder = tmp_path / "written"
    folder.mkdir()
    (folder / "nut.png").write_bytes(png())
    return write(folder, WITH)


def write(folder: Path, work: str) -> Path:
    """The text of a procedure in a folder."""
    path = folder / "looks.toml"
    path.write_text(procedure_head("looks") + work, encoding="utf-8")
    return path


def entered(workshop: Workshop, path: Path) -> Procedure:
    """The procedure as the book has it, once it is entered."""
    return workshop.procedure(enter_procedure(workshop, path, ENTERS)).procedure


def files(book: Path) -> list[str]:
    """What lies in the folder of photos."""
    return sorted(file.name for file in photos_of(book).iterdir()) if photos_of(book).exists() else []


def mistakes(workshop: Workshop, path: Path) -> str:
    """Why a procedure is refused, behind the name of its file; nothing is recorded or kept then."""
    before = workshop.book.head()
    with pytest.raises(Refused) as refused:
        enter_procedure(workshop, path, ENTERS)
    assert (before, []) == (workshop.book.head(), files(workshop.book.path))
    return str(refused.value).removeprefix(f"the procedure was not entered:\n{path}:")


def test_a_picture_is_kept_by_its_content_and_without_anything_else(workshop: Workshop, file: Path) -> None:
    """Outside check: hashlib's SHA-256 of what lies there; the comment of the file is gone, and it is a JPEG."""
    (picture,) = entered(workshop, file).pictures()
    lies = [(photos_of(workshop.book.path) / name).read_bytes() for name in files(workshop.book.path)]

    assert ("nut.png", "The nut from behind.", 320, 240) == (picture.file, picture.says, picture.width, picture.height)
    assert [picture.digest, picture.small] == [sha256(each).hexdigest() for each in lies]
    assert [f"{DIGEST}.jpg", f"{DIGEST}.small.jpg"] == files(workshop.book.path)
    assert SECRET.encode() in (file.parent / "nut.png").read_bytes()
    assert not any(SECRET.encode() in each for each in lies)
    assert "JPEG" == Image.open(BytesIO(lies[0])).format
    assert [] == workshop.book.verify()


def test_a_large_picture_is_kept_as_large_as_a_page_shows_it(workshop: Workshop, file: Path) -> None:
    """At most 1,280 pixels on its longer side, for it is loaded each time its work comes."""
    (file.parent / "nut.png").write_bytes(png(size=(3000, 1500)))
    (picture,) = entered(workshop, file).pictures()
    content = picture_file(workshop, enter_procedure(workshop, file, ENTERS), picture.digest)

    assert content
    assert (1280, 640) == Image.open(BytesIO(content)).size


def test_another_picture_makes_another_procedure(workshop: Workshop, file: Path) -> None:
    """The text is the same; whoever read the first has not seen the second."""
    first = enter_procedure(workshop, file, ENTERS)
    read_against_source(workshop, first, "", READS)
    (file.parent / "nut.png").write_bytes(png(40))
    second = enter_procedure(workshop, file, ENTERS)

    assert first != second
    assert ("P-3", "") == (workshop.procedure(first).read_by, workshop.procedure(second).read_by)
    assert [] == workshop.book.verify()


def test_its_digest_is_that_of_text_and_pictures(workshop: Workshop, file: Path) -> None:
    """Outside check: hashlib's SHA-256 of the text, a NUL and a line for the picture. Without pictures: of the text."""
    text = file.read_text(encoding="utf-8").encode()
    plain = write(file.parent.parent, LOOK)

    assert sha256(text + f"\0{DIGEST} nut.png\n".encode()).hexdigest() == enter_procedure(workshop, file, ENTERS)
    assert sha256(plain.read_bytes()).hexdigest() == enter_procedure(workshop, plain, ENTERS)


def test_the_same_again_changes_nothing_and_puts_back_what_was_lost(workshop: Workshop, file: Path) -> None:
    """As after a disk that lost the folder."""
    first = enter_procedure(workshop, file, ENTERS)
    head = workshop.book.head()
    (photos_of(workshop.book.path) / f"{DIGEST}.jpg").unlink()

    assert first == enter_procedure(workshop, file, ENTERS)
    assert (head, []) == (workshop.book.head(), workshop.book.verify())


def test_one_file_for_several_pieces_of_work_is_kept_once(workshop: Workshop, file: Path) -> None:
    """Each with words of its own."""
    again = WITH.replace('"look"', '"again"').replace("from behind", "once more")
    procedure = entered(workshop, write(file.parent, WITH + again))

    assert ["The nut from behind.", "The nut once more."] == [
        each.picture.says for each in procedure.work if each.picture
    ]
    assert 1 == len(procedure.pictures())
    assert 2 == len(files(workshop.book.path))


def no_picture(folder: Path) -> None:
    (folder / "nut.png").unlink()


def a_folder(folder: Path) -> None:
    (folder / "nut.png").unlink()
    (folder / "nut.png").mkdir()


def a_link(folder: Path) -> None:
    (folder / "nut.png").rename(folder / "other.png")
    (folder / "nut.png").symlink_to("other.png")


def a_pipe(folder: Path) -> None:
    (folder / "nut.png").unlink()
    os.mkfifo(folder / "nut.png")


def too_large(folder: Path) -> None:
    with (folder / "nut.png").open("ab") as file:
        file.truncate(25 * 1024 * 1024)


def too_many_pixels(folder: Path) -> None:
    Image.new("1", (5000, 4000)).save(folder / "nut.png")


def words(folder: Path) -> None:
    (folder / "nut.png").write_text("<svg onload='alert(1)'/>")


def cut(folder: Path) -> None:
    (folder / "nut.png").write_bytes(png()[:200])


@pytest.mark.skipif(os.name == "nt", reason="Windows has no pipes in folders, and few links")
@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (no_picture, "nut.png is not there; put it into {folder}"),
        (a_folder, "nut.png is no file; put the picture itself beside the procedure"),
        (a_link, "nut.png is a link; put the picture itself beside the procedure"),
        (a_pipe, "nut.png is no file; put the picture itself beside the procedure"),
        (too_large, "nut.png: this photo has more than 24 MB; send a smaller one"),
        (too_many_pixels, "nut.png: this photo has more than 16 million pixels; send a smaller one"),
        (words, "nut.png: this file is no photo that can be kept; send a JPEG or PNG that is whole"),
        (cut, "nut.png: this file is no photo that can be kept; send a JPEG or PNG that is whole"),
    ],
)
def test_what_is_no_picture_is_refused_with_its_line(
    workshop: Workshop, file: Path, spoil: Callable[[Path], None], says: str
) -> None:
    """One sentence; nothing is recorded, and nothing is kept."""
    spoil(file.parent)

    assert f"line 15, look.picture: {says.format(folder=file.parent)}" == mistakes(workshop, file)


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="an administrator reads everything")
def test_a_picture_that_may_not_be_read_is_no_mistake_of_the_text(workshop: Workshop, file: Path) -> None:
    """One sentence, without a line."""
    (file.parent / "nut.png").chmod(0)
    says = f"{file.parent / 'nut.png'} cannot be read: Permission denied; the procedure was not entered"

    assert says == mistakes(workshop, file)


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("../nut.png", "“../nut.png” names a folder; put the picture beside the procedure, and write its name alone"),
        ("/etc/nut.png", "“/etc/nut.png” names a folder; put the picture beside"),
        ("a\\\\nut.png", "“a\\nut.png” names a folder; put the picture beside"),
        (
            "nut.svg",
            "“nut.svg” is no name of a picture; write letters, digits, spaces and . _ - + ( ), 100 at most, wi",
        ),
        (".nut.png", "“.nut.png” is no name of a picture; write letters"),
        ("C:nut.png", "“C:nut.png” is no name of a picture; write letters"),
        ("n" * 97 + ".png", f"“{'n' * 97}.pn” is no name of a picture; write letters"),
    ],
)
def test_a_picture_is_named_by_a_file_beside_the_procedure(
    workshop: Workshop, file: Path, name: str, says: str
) -> None:
    """No folder, no drive, no other kind of file."""
    path = write(file.parent, WITH.replace("nut.png", name))

    assert mistakes(workshop, path).startswith(f"line 15, look.picture: {says}")


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ('picture = "nut.png"', "line 11, look.picture_says: is missing; write picture_says = …"),
        ('picture_says = "A nut."', "line 15, look.picture_says: says what a picture shows; write picture = … as well"),
        (
            'picture = "nut.png"\npicture_says = " "',
            "line 16, look.picture_says: is empty; say it or leave the key out",
        ),
    ],
)
def test_a_picture_is_told_in_words_too(workshop: Workshop, file: Path, lines: str, says: str) -> None:
    """For whoever cannot see it, and where it is lost."""
    assert says == mistakes(workshop, write(file.parent, f"{LOOK}{lines}\n"))


def test_no_procedure_has_pictures_without_end(workshop: Workshop, file: Path) -> None:
    """Forty, those that are not there among them: each that is takes a process of its own."""
    numbered = (WITH.replace('"look"', f'"look-{n}"').replace("nut.png", f"{n}.png") for n in range(MOST + 1))
    told = mistakes(workshop, write(file.parent, "".join(numbered))).splitlines()

    assert MOST == sum(" is not there; put it into " in each for each in told)
    assert told[-1].endswith("look-40.picture: “40.png” is one more picture than the 40 that a procedure may have")


def test_a_picture_that_is_lost_or_changed_is_told_and_nobody_vouches_for_it(workshop: Workshop, file: Path) -> None:
    """Verify names the file and the picture; reading against the source is refused."""
    digest = enter_procedure(workshop, file, ENTERS)
    place, small = (photos_of(workshop.book.path) / f"{DIGEST}{end}.jpg" for end in ("", ".small"))
    place.write_bytes(NUT.photo[:-2] + b"??")
    small.unlink()

    assert [
        f"The picture {place} (nut.png of a procedure) was changed; bring it back from a backup.",
        f"The picture {small} (nut.png of a procedure) is lost; bring it back from a backup.",
    ] == workshop.book.verify()
    with pytest.raises(Refused, match=r"the picture nut\.png is lost or was changed, so nobody can look at it"):
        read_against_source(workshop, digest, "", READS)
    assert "" == workshop.procedure(digest).read_by


def test_nobody_vouches_for_a_picture_whose_small_one_is_lost(workshop: Workshop, file: Path) -> None:
    """Pages show the small one first."""
    digest = enter_procedure(workshop, file, ENTERS)
    (photos_of(workshop.book.path) / f"{DIGEST}.small.jpg").unlink()

    with pytest.raises(Refused, match=r"the picture nut\.png is lost or was changed, so nobody can look at it"):
        read_against_source(workshop, digest, "", READS)


def test_a_photo_of_work_with_the_same_content_is_erased_and_the_picture_stays(workshop: Workshop, file: Path) -> None:
    """One file for both: the erasure is of the job's photo alone; rebuilding the lists leaves it as well."""
    play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2")
    photograph(workshop, "1", ["rear-axle-nut"], NUT, "", ENTERS)
    enter_procedure(workshop, file, ENTERS)
    erase_photo(workshop, "1", DIGEST[:8], "it shows nothing", Say("P-1"))
    workshop.book.rebuild()

    assert [f"{DIGEST}.jpg", f"{DIGEST}.small.jpg"] == files(workshop.book.path)
    assert [] == workshop.book.verify()


def test_a_picture_whose_photo_was_erased_before_is_there_again(workshop: Workshop, file: Path) -> None:
    """The procedure names it now."""
    play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2")
    photograph(workshop, "1", ["rear-axle-nut"], NUT, "", ENTERS)
    erase_photo(workshop, "1", DIGEST[:8], "it shows nothing", Say("P-1"))
    enter_procedure(workshop, file, ENTERS)

    assert (2, []) == (len(files(workshop.book.path)), workshop.book.verify())


def test_a_procedure_gives_its_own_pictures_alone(workshop: Workshop, file: Path) -> None:
    """A photo of work is no picture of it, though it lies in the same folder."""
    play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2")
    other = kept(png(40))
    photograph(workshop, "1", ["rear-axle-nut"], other, "", ENTERS)
    digest = enter_procedure(workshop, file, ENTERS)
    axle = workshop.full_digest("axle")

    assert NUT == (picture_file(workshop, digest, DIGEST), picture_file(workshop, digest, DIGEST, small=True))
    assert picture_file(workshop, digest, sha256(other.photo).hexdigest()) is None
    assert picture_file(workshop, axle, DIGEST) is None


def test_an_entry_that_can_be_read_in_part_keeps_its_pictures(workshop: Workshop, file: Path) -> None:
    """A book from elsewhere may say anything: what is no digest names no file."""
    enter_procedure(workshop, file, ENTERS)
    text = [text for text, _ in workshop.book.documents()][-1]
    wrong = text.replace(f'"digest":"{DIGEST}"'.encode(), b'"digest":"../elsewhere"')

    assert [DIGEST] == [*photos.named([text.replace(b'"small"', b'"smaller"')]).kept]
    assert wrong != text
    assert {} == photos.named([wrong, b"no entry"]).kept


@pytest.mark.usefixtures("book_file")
def test_copies_take_the_pictures_along(workshop: Workshop, clock: Clock, file: Path, tmp_path: Path) -> None:
    """A backup put back, an export with the book that is made of it, and a repaired book."""
    enter_procedure(workshop, file, ENTERS)
    path, there = workshop.book.path, files(workshop.book.path)
    workshop.book.backup(tmp_path / "copy.book")
    export(workshop.book, tmp_path / "out", harmless, personal=False)
    workshop.book.close()
    from_export(tmp_path / "out", tmp_path / "again.book", clock, Random(1))
    repaired = repair(path, tmp_path / "repaired.book", clock, Random(1))
    (photos_of(path) / there[0]).unlink()
    restored = restore(path, tmp_path / "copy.book", clock=clock)

    assert 2 == len(there)
    assert there == files(path) == files(tmp_path / "again.book") == files(tmp_path / "repaired.book")
    assert ((), ()) == (repaired.lost, restored.beside)
    for each in (path, tmp_path / "again.book", tmp_path / "repaired.book"):
        with Book.open(each, clock, Random(1)) as book:
            assert [] == book.verify()
