"""Photos of work: kept beside the book before an entry names them, and gone for good once every entry is answered."""

import json
import os
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
from torqueaudit.book.errors import BookError
from torqueaudit.book.places import photos_of
from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.ledger.entry import Entry
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.photo import ERASED, PHOTOGRAPHED
from torqueaudit.model.shown.access import Audience, seen_by
from torqueaudit.model.shown.job import PhotoView
from torqueaudit.model.shown.photos import photos_of as shown_photos
from torqueaudit.photo.harmless import Harmless, make_harmless
from torqueaudit.reports.data import harmless
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.photos import erase_photo, photo_file, photograph, photos_of_job
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.jobs.undo import undo
from torqueaudit.workshop.judged.answer import answered
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.restore import restore

CARD = """
2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
2031-04-02 10:00 job 2 opened axle on V-2 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
"""
MECHANIC, FOREMAN = Say("P-2"), Say("P-1")


def picture(grey: int = 90) -> Harmless:
    """A photo as it is kept."""
    target = BytesIO()
    Image.new("RGB", (640, 480), (grey, grey, grey)).save(target, "JPEG")
    return make_harmless(target.getvalue())


PHOTO = picture()
DIGEST, SMALL = (sha256(each).hexdigest() for each in PHOTO)


@pytest.fixture
def yard(workshop: Workshop) -> Workshop:
    """Two jobs, of which one has a nut that is tight and marked."""
    play(workshop, CARD)
    return workshop


def take(yard: Workshop, *keys: str, job: str = "2", why: str = "", say: Say = MECHANIC) -> Entry:
    """Photograph work of a job."""
    (entry,) = photograph(yard, job, keys or ("rear-axle-nut",), PHOTO, why, say)
    return entry


def erase(yard: Workshop, *, job: str = "2", say: Say = FOREMAN) -> list[Entry]:
    """Erase the photo from a job."""
    return erase_photo(yard, job, DIGEST[:8], "a plate was to be read", say)


def files(book: Path) -> list[str]:
    """What lies in the folder of photos."""
    return sorted(file.name for file in photos_of(book).iterdir()) if photos_of(book).exists() else []


def test_a_photo_is_named_by_its_content(yard: Workshop) -> None:
    """Outside check: hashlib's SHA-256 of the same bytes, in the entry and as the file's name."""
    entry = take(yard, why="the line is whole")

    assert {"digest": DIGEST, "bytes": len(PHOTO.photo), "of": ["rear-axle-nut"]} == entry.said
    assert sha256(PHOTO.small).hexdigest() == entry.judged["small"]
    assert {"why": "the line is whole"} == entry.words
    assert [f"{DIGEST}.jpg", f"{DIGEST}.small.jpg"] == files(yard.book.path)
    assert PHOTO == (photo_file(yard, DIGEST), photo_file(yard, DIGEST, SMALL))
    assert [] == yard.book.verify()


def test_the_same_photo_is_kept_once(yard: Workshop) -> None:
    """Of two jobs, and of one twice."""
    for job in ("1", "2", "2"):
        take(yard, job=job)

    assert 2 == len(files(yard.book.path))
    assert [] == yard.book.verify()


def test_sent_twice_it_is_recorded_once(yard: Workshop) -> None:
    """By its id; what was lost of it meanwhile is there again."""
    first = take(yard, say=MECHANIC._replace(id="abc"))
    (photos_of(yard.book.path) / f"{DIGEST}.jpg").unlink()
    again = take(yard, say=MECHANIC._replace(id="abc"))

    assert first.sequence == again.sequence
    assert [] == yard.book.verify()


@pytest.mark.parametrize(
    ("keys", "says"),
    [
        (("front-axle-nut",), "front-axle-nut: job 2 has no such work"),
        (("rear-axle-nut", "rear-axle-nut-3"), "rear axle nut has no number 3"),
        ((), "say what the photo shows"),
    ],
)
def test_a_photo_of_nothing_is_kept_nowhere(yard: Workshop, keys: tuple[str, ...], says: str) -> None:
    """Neither an entry nor a file."""
    before = yard.book.head()
    with pytest.raises(Refused, match=says):
        photograph(yard, "2", keys, PHOTO, "", MECHANIC)

    assert (before, []) == (yard.book.head(), files(yard.book.path))


def test_words_that_name_somebody_are_not_kept(yard: Workshop) -> None:
    """As everywhere; here the plate of V-1."""
    with pytest.raises(Refused, match="holds a name or number of V-1"):
        take(yard, why="Y-ARD 101 from behind")
    assert [] == files(yard.book.path)


def test_a_disk_that_takes_no_photo_records_none(yard: Workshop) -> None:
    """A file stands where the folder should."""
    photos_of(yard.book.path).write_text("mine")
    before = yard.book.head()
    with pytest.raises(BookError, match="The photo cannot be kept in"):
        take(yard)

    assert before == yard.book.head()


def test_a_photo_that_is_recorded_and_cannot_be_put_back_says_so(yard: Workshop) -> None:
    """Sent again after the folder was lost, on a disk that takes none: it does not say that nothing was recorded."""
    entry = take(yard, say=MECHANIC._replace(id="abc"))
    folder = photos_of(yard.book.path)
    for file in folder.iterdir():
        file.unlink()
    folder.rmdir()
    folder.write_text("mine")
    with pytest.raises(BookError, match="; all is recorded, and the photo is lost until it is kept again"):
        take(yard, say=MECHANIC._replace(id="abc"))

    assert [entry.sequence] == [each.sequence for each in yard.book.of_act("abc")]


def test_the_answer_says_what_it_shows(yard: Workshop) -> None:
    """By the names of the work."""
    entries = photograph(yard, "1", ["rear-axle-nut", "sprocket-bolt-2", "bike-secured"], PHOTO, "", MECHANIC)
    says = answered(yard, "1", entries)[1].says

    assert f"photo {DIGEST[:8]} of rear axle nut; sprocket bolt 2; motorcycle secured kept" == says


def shown(yard: Workshop, position: str, job: str = "2") -> list[PhotoView]:
    """The photos of a fastener, as staff see them."""
    view = seen_by("staff", show_job(yard, job))
    return [photo for each in view.fasteners if each.position == position for photo in each.photos]


def test_staff_see_the_photos_of_each_piece_of_work(yard: Workshop) -> None:
    """One of a group is of each of its bolts, one of a step is of that step alone."""
    take(yard, "sprocket-bolt", "bike-secured", job="1", why="before it went in")
    view = seen_by("staff", show_job(yard, "1"))
    of_items = {each.key: each.photos for each in view.items if each.photos}
    (photo,) = shown(yard, "sprocket-bolt-4", job="1")

    assert (DIGEST, "P-2", "before it went in", True, "") == (
        photo.digest,
        photo.by,
        photo.why,
        photo.stands,
        photo.erased,
    )
    assert ["bike-secured"] == [*of_items]
    assert [] == shown(yard, "rear-axle-nut", job="1")


def test_strangers_see_none(yard: Workshop) -> None:
    """Whoever scans the label, and the owner."""
    take(yard)
    audiences: tuple[Audience, ...] = ("stranger", "owner")
    for audience in audiences:
        view = seen_by(audience, show_job(yard, "2"))
        assert not any(each.photos for each in view.fasteners)
        assert not any(each.photos for each in view.items)


def test_a_photo_of_before_it_was_turned_is_history(yard: Workshop) -> None:
    """It is shown, and does not stand."""
    take(yard)
    play(yard, "2031-04-02 11:01 job 2 rear-axle-nut loosened: wheel out again by P-2")

    assert [False] == [photo.stands for photo in shown(yard, "rear-axle-nut")]


def test_of_a_photo_of_several_is_said_which_were_turned_since(yard: Workshop) -> None:
    """The others stand as it shows them, a step among them; where all were turned no name is needed."""
    photograph(yard, "1", ["sprocket-bolt-1", "sprocket-bolt-2", "sprocket-nut", "bike-secured"], PHOTO, "", MECHANIC)
    photograph(yard, "1", ["sprocket-nut"], picture(40), "", MECHANIC)
    since = ["" for _ in told(yard)]
    play(yard, "2031-04-02 11:01 job 1 sprocket-bolt-2 loosened: the wrong one by P-2")
    first = told(yard)
    play(yard, "2031-04-02 11:02 job 1 sprocket-nut loosened: the wrong one by P-2")

    assert [["", ""], ["turned since: sprocket bolt 2", ""]] == [since, first]
    assert ["turned since: sprocket bolt 2; front sprocket nut", "turned since"] == told(yard)
    lines = " ".join(lines_of(seen_by("staff", show_job(yard, "1"))))
    assert "; turned since: sprocket bolt 2; front sprocket nut #" in " ".join(lines.split())


def told(yard: Workshop) -> list[str]:
    """What became of the photos of job 1, in words."""
    return [each.since for each in shown_photos(show_job(yard, "1"))]


def test_a_small_photo_that_was_changed_is_shown_to_nobody(yard: Workshop) -> None:
    """Its digest stands in the entry as that of the photo does; the photo itself is shown on."""
    take(yard)
    place = photos_of(yard.book.path) / f"{DIGEST}.small.jpg"
    place.write_bytes(picture(10).small)

    assert (PHOTO.photo, None) == (photo_file(yard, DIGEST), photo_file(yard, DIGEST, SMALL))
    assert [SMALL] == [photo.small for photo in shown(yard, "rear-axle-nut")]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only an administrator gives files away")
def test_photos_belong_to_whom_the_book_belongs(yard: Workshop) -> None:
    """An administrator types the command; the server that runs as the book's owner reads, keeps and erases them."""
    os.chown(yard.book.path, 1234, 2345)
    yard.book.path.chmod(0o640)
    take(yard)
    folder = photos_of(yard.book.path)

    assert [(1234, 2345)] * 3 == [(each.stat().st_uid, each.stat().st_gid) for each in (folder, *folder.iterdir())]
    assert [0o640] * 2 == [each.stat().st_mode & 0o777 for each in folder.iterdir()]


def test_a_photo_lost_or_changed_is_told(yard: Workshop) -> None:
    """Each of the two files by its own digest, with what to do; it is shown to nobody then."""
    take(yard)
    place, small = (photos_of(yard.book.path) / f"{DIGEST}{end}.jpg" for end in ("", ".small"))
    place.write_bytes(PHOTO.photo[:-2] + b"??")
    small.unlink()

    assert [
        f"The photo {place} was changed; bring it back from a backup.",
        f"The photo {small} is lost; bring it back from a backup.",
    ] == yard.book.verify()
    assert (None, None) == (photo_file(yard, DIGEST), photo_file(yard, DIGEST, SMALL))


def test_an_erased_photo_is_gone_and_its_entry_stays(yard: Workshop) -> None:
    """Who erased it, and why; the view shows when."""
    take(yard)
    (entry,) = erase(yard)

    assert {"digest": DIGEST} == entry.said
    assert {"why": "a plate was to be read"} == entry.words
    assert [] == files(yard.book.path)
    assert [] == yard.book.verify()
    assert ["erased on 2031-04-02 by P-1"] == [photo.erased for photo in shown(yard, "rear-axle-nut")]
    assert [""] == [each.file for each in photos_of_job(yard, "2")]


def test_its_bytes_are_written_over_before_it_is_taken_away(yard: Workshop) -> None:
    """Seen through a second name of the same file."""
    take(yard)
    other = yard.book.path.with_name("other")
    other.hardlink_to(photos_of(yard.book.path) / f"{DIGEST}.jpg")
    erase(yard)

    assert bytes(len(PHOTO.photo)) == other.read_bytes()


def test_another_job_keeps_the_photo(yard: Workshop) -> None:
    """The files go with the last one."""
    take(yard)
    take(yard, "rear-axle-nut", job="1")
    erase(yard)
    assert (2, []) == (len(files(yard.book.path)), yard.book.verify())
    erase(yard, job="1")
    assert ([], []) == (files(yard.book.path), yard.book.verify())


def test_an_erased_photo_that_is_there_again_is_told_and_rebuilding_takes_it_away(yard: Workshop) -> None:
    """As from a backup of the folder alone; a verification of later entries alone tells it too."""
    take(yard)
    before = yard.book.head().sequence
    erase(yard)
    place = photos_of(yard.book.path) / f"{DIGEST}.jpg"
    place.write_bytes(PHOTO.photo)
    says = "was erased on 2031-04-02 by P-1, and is there; rebuild the lists, which erases it once more."

    assert [f"The photo {place} {says}"] == yard.book.verify() == yard.book.verify(after=before)
    yard.book.rebuild()
    assert ([], []) == (yard.book.verify(), files(yard.book.path))


def test_a_night_that_looks_at_later_entries_knows_that_an_earlier_job_keeps_a_photo(yard: Workshop) -> None:
    """Erased from one job, named by an entry of before."""
    take(yard, job="1")
    take(yard)
    before = yard.book.head().sequence
    erase(yard)

    assert [] == yard.book.verify(after=before)


def test_a_photo_that_is_taken_again_counts_again(yard: Workshop) -> None:
    """After it was erased."""
    take(yard)
    erase(yard)
    take(yard)

    assert 2 == len(files(yard.book.path))
    assert [] == yard.book.verify()
    assert ["erased on 2031-04-02 by P-1", ""] == [photo.erased for photo in shown(yard, "rear-axle-nut")]


@pytest.mark.parametrize(
    ("digest", "why", "says"),
    [
        (DIGEST[:8], " ", "say why the photo is erased"),
        (DIGEST[:7], "because", f"names no one photo of job 2; give 8 characters or more; it has {DIGEST[:8]}"),
        ("0123456789", "because", "names no one photo of job 2"),
        ("", "because", "names no one photo of job 2"),
    ],
)
def test_what_is_not_erased(yard: Workshop, digest: str, why: str, says: str) -> None:
    """Nothing is recorded, and the photo stays."""
    take(yard)
    before = yard.book.head()
    with pytest.raises(Refused, match=says):
        erase_photo(yard, "2", digest, why, FOREMAN)

    assert (before, 2) == (yard.book.head(), len(files(yard.book.path)))


def test_a_photo_is_erased_once(yard: Workshop) -> None:
    """And by a foreman alone; of a job that there is."""
    take(yard)
    with pytest.raises(Refused, match="only a foreman may do this"):
        erase(yard, say=MECHANIC)
    erase(yard)
    with pytest.raises(Refused, match="it was erased already"):
        erase(yard)
    with pytest.raises(Refused, match="job 9: no such job"):
        erase(yard, job="9")


def test_an_owner_photographs_nothing(yard: Workshop) -> None:
    """Whoever records the work does."""
    with pytest.raises(Refused, match="only a mechanic or trainee or foreman may do this"):
        take(yard, say=Say("owner"))


def test_a_struck_photo_can_be_erased(yard: Workshop) -> None:
    """A strike says that it does not count, and leaves its file."""
    entry = take(yard)
    strike(yard, "2", entry.sequence, "it shows another nut", MECHANIC)

    assert ([], 2, []) == (shown(yard, "rear-axle-nut"), len(files(yard.book.path)), yard.book.verify())
    erase(yard)
    assert ([], []) == (files(yard.book.path), yard.book.verify())


def test_an_erasure_is_not_taken_back(yard: Workshop) -> None:
    """Neither as the last act nor by its number: what is gone does not come back."""
    take(yard)
    (entry,) = erase(yard)
    with pytest.raises(Refused, match=r"was to erase a photo \(#\d+\), which does not come back; take one anew"):
        undo(yard, "2", "", FOREMAN)
    with pytest.raises(Refused, match="erased a photo, which does not come back; take one anew"):
        strike(yard, "2", entry.sequence, "typed wrong", FOREMAN)


def test_a_photo_is_taken_back_as_the_last_act(yard: Workshop) -> None:
    """Its file stays until it is erased."""
    take(yard)
    says = answered(yard, "2", undo(yard, "2", "", MECHANIC))[1].says

    assert says.endswith(f"photo {DIGEST[:8]} of rear axle nut kept")
    assert [] == shown(yard, "rear-axle-nut")


def test_an_entry_of_a_later_version_names_no_photo(yard: Workshop) -> None:
    """A verification reads what it knows, and no more."""
    take(yard)
    named = photos.named([b"no entry that names a photo", *(text for text, _ in yard.book.documents())])

    assert [DIGEST] == [*named.kept]


@pytest.mark.usefixtures("book_file")
def test_a_backup_takes_the_photos_along_and_brings_them_back(yard: Workshop, clock: Clock, tmp_path: Path) -> None:
    """Put back after the disk broke, the photo is there; a lost one keeps no backup from being put back."""
    take(yard)
    yard.book.backup(tmp_path / "copy.book")
    path = yard.book.path
    yard.book.close()
    for file in (path, *photos_of(path).iterdir()):
        file.unlink()
    done = restore(path, tmp_path / "copy.book", clock=clock)

    assert () == done.beside
    assert [f"{DIGEST}.jpg", f"{DIGEST}.small.jpg"] == files(path)
    lost = photos_of(tmp_path / "copy.book") / f"{DIGEST}.jpg"
    lost.unlink()
    says = f"The photo {photos_of(path) / lost.name} is lost; bring it back from a backup."
    assert (says,) == restore(path, tmp_path / "copy.book", clock=clock).beside


def test_an_export_and_the_book_made_of_it_have_the_photo(yard: Workshop, clock: Clock, tmp_path: Path) -> None:
    """And the one that was erased is in neither."""
    take(yard)
    photograph(yard, "2", ["rear-axle-nut"], picture(40), "", MECHANIC)
    erase(yard)
    other = sha256(picture(40).photo).hexdigest()
    export(yard.book, tmp_path / "out", harmless, personal=False)
    from_export(tmp_path / "out", tmp_path / "again.book", clock, Random(1))

    assert [f"{other}.jpg", f"{other}.small.jpg"] == files(tmp_path / "again.book")
    assert sorted(file.name for file in (tmp_path / "out" / "photos").iterdir()) == files(tmp_path / "again.book")
    with Book.open(tmp_path / "again.book", clock, Random(1)) as again:
        assert [] == again.verify()


@pytest.mark.usefixtures("book_file")
def test_a_repaired_book_has_the_photo_and_says_which_is_lost(yard: Workshop, clock: Clock, tmp_path: Path) -> None:
    """By where the new book lies."""
    take(yard)
    photograph(yard, "2", ["rear-axle-nut"], picture(40), "", MECHANIC)
    path = yard.book.path
    yard.book.close()
    (photos_of(path) / f"{DIGEST}.jpg").unlink()
    done = repair(path, tmp_path / "new.book", clock, Random(1))

    lost = photos_of(tmp_path / "new.book") / f"{DIGEST}.jpg"
    assert (f"The photo {lost} is lost; bring it back from a backup.",) == done.lost
    assert 3 == len(files(tmp_path / "new.book"))


def rewritten(yard: Workshop, kind: str, said: dict[str, object]) -> bytes:
    """The text of the last entry, as a book from elsewhere might say it of another kind."""
    text = [text for text, _ in yard.book.engine.stored()][-1]
    fields = json.loads(text)
    fields["kind"] = kind
    fields["payload"] |= {"said": said, "judged": {}}
    return json.dumps(fields).encode()


@pytest.mark.parametrize("digest", ["../../elsewhere", "", "0" * 63, "A" * 64, 12, None, ["0" * 64]])
def test_an_erasure_names_a_photo_and_no_other_file(yard: Workshop, digest: object) -> None:
    """A book from elsewhere may say anything: what is no digest names no file to be written over."""
    take(yard)

    assert ({}, {}, {}) == photos.named([rewritten(yard, ERASED, {"digest": digest})])
    assert [DIGEST] == [*photos.named([rewritten(yard, ERASED, {"digest": DIGEST})]).erased]


def test_a_photographing_that_can_be_read_in_part_keeps_its_photo(yard: Workshop) -> None:
    """Its length and its small one are missing: an erasure from another job does not take the photo away."""
    take(yard)
    half = rewritten(yard, PHOTOGRAPHED, {"digest": DIGEST})
    erasure = rewritten(yard, ERASED, {"digest": DIGEST}).replace(b"job/2", b"job/1")

    assert ([DIGEST], {}) == ([*photos.named([half, erasure]).kept], photos.named([half, erasure]).erased)


def test_a_link_in_the_folder_of_photos_leads_to_no_file_that_is_written_over(yard: Workshop, tmp_path: Path) -> None:
    """Erasing leaves what lies elsewhere as it is."""
    elsewhere = tmp_path / "elsewhere.jpg"
    elsewhere.write_bytes(b"of somebody")
    folder = photos_of(yard.book.path)
    folder.mkdir(exist_ok=True)
    (folder / f"{'0' * 64}.jpg").symlink_to(elsewhere)

    photos.erase(yard.book.path, ["0" * 64])

    assert b"of somebody" == elsewhere.read_bytes()
