"""The folder of photos beside the book: each with a small one, named by the digest of its content (decision 0098).

In it lie photos of work, which jobs name, and pictures of procedures (decision 0103). An entry holds both digests, so a
verification tells what was lost or changed. Erasing is an entry too: a photo that nothing names any more has to be
gone.
"""

import re
from collections.abc import Iterable, Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from torqueaudit.book.disk import RESERVE, check_space
from torqueaudit.book.errors import BookError
from torqueaudit.book.flushing import flush, flush_folder, write_all
from torqueaudit.book.places import owned_as_book, photos_of
from torqueaudit.ledger.entry import Entry, entry_of
from torqueaudit.model.job.photo import ERASED, PHOTOGRAPHED, Photo, name_of, small_name_of

PROCEDURE_ENTERED = "entered.1"
_READ_BY_BOOK = 0o666  # who may read and write the book, may read and write its photos
_PIECE = 1024 * 1024  # bytes
_DIGEST = re.compile("[0-9a-f]{64}")  # it becomes a name in the folder, so nothing else may stand in one


def weigh(photo: bytes, small: bytes) -> Photo:
    """What a photo and its small one are, before they are kept."""
    return Photo(sha256(photo).hexdigest(), len(photo), sha256(small).hexdigest())


def keep(book: Path, photo: bytes, small: bytes, weighed: Photo | None = None, reserve: int = RESERVE) -> None:
    """Write a photo and its small one into a book's folder; what is whole there already stays as it is.

    `weighed` is what `weigh` says of them, where that was asked before. Each gets its name once it is on the disk, and
    belongs to whom the book belongs. Done before the entry that names them is appended. Raises BookError when the disk
    is full, or does not take them.
    """
    _put(book, (photo, small), weighed or weigh(photo, small), reserve, "nothing was recorded")


def keep_lost(book: Path, photo: bytes, small: bytes, weighed: Photo | None = None, reserve: int = RESERVE) -> None:
    """Put back what was taken away behind `keep`, as by whoever erased the same photo of another job meanwhile.

    `weighed` as in `keep`. Done after the entry that names them is appended. Raises BookError, which says that the
    entry stands.
    """
    told = weighed or weigh(photo, small)
    if not is_whole(book, told):
        _put(book, (photo, small), told, reserve, "all is recorded, and the photo is lost until it is kept again")


def _put(book: Path, pictures: tuple[bytes, bytes], weighed: Photo, reserve: int, outcome: str) -> None:
    (photo, small), folder = pictures, photos_of(book)
    content = {(folder / weighed.name, weighed.digest): photo, (folder / weighed.small_name, weighed.small): small}
    check_space(book.parent, reserve + len(photo) + len(small))
    try:
        folder.mkdir(exist_ok=True)
        lacking = {place: data for (place, digest), data in content.items() if _fault(place, digest)}
        write_all(lacking, book.stat().st_mode & _READ_BY_BOOK)
        for each in (folder, *lacking):
            owned_as_book(book, each)
        flush_folder(folder)  # also where they lay there already: whoever kept them may have been killed before this
        flush_folder(book.parent)
    except OSError as error:
        raise BookError(f"The photo cannot be kept in {folder}: {error.strerror}; {outcome}.") from None


def is_whole(book: Path, photo: Photo) -> bool:
    """Whether a photo and its small one are there as they were kept."""
    folder = photos_of(book)
    return not _fault(folder / photo.name, photo.digest) and not _fault(folder / photo.small_name, photo.small)


def read(book: Path, digest: str, small: str = "") -> bytes | None:
    """The content of a photo; None where it is not there, or was changed since.

    With `small`, the digest of the small one of it, that one's.
    """
    if not _DIGEST.fullmatch(digest):
        return None
    place = photos_of(book) / (small_name_of(digest) if small else name_of(digest))
    try:
        content = place.read_bytes()
    except OSError:
        return None
    return content if sha256(content).hexdigest() == (small or digest) else None


class Named(NamedTuple):
    """What entries name, once each, and the erasures of what no entry names any more, by digest.

    `pictures` are those of procedures among what is kept, each with the name of its file.
    """

    kept: dict[str, Photo]
    erased: dict[str, Entry]
    pictures: dict[str, str]


def named(texts: Iterable[bytes]) -> Named:
    """What stored texts say of photos, in their order; one that cannot be read says nothing.

    A photo is erased job by job, and one that is taken again counts again.
    """
    by_subject: dict[tuple[str, str], Photo] = {}
    erased: dict[str, Entry] = {}
    pictures: dict[str, str] = {}
    for entry, photo, file in (told for text in texts if may_name(text) for told in _told(text)):
        if entry.kind == ERASED:
            by_subject.pop((entry.subject, photo.digest), None)
            erased[photo.digest] = entry
        else:
            by_subject[entry.subject, photo.digest] = photo
            pictures |= {photo.digest: file} if file else {}
    kept = {photo.digest: photo for photo in by_subject.values()}
    return Named(kept, {digest: entry for digest, entry in erased.items() if digest not in kept}, pictures)


def may_name(text: bytes) -> bool:
    """Whether a stored text has to be read to know that it tells of no photo; most need not."""
    return b"photo" in text or b'"picture":{' in text


def _told(text: bytes) -> Iterator[tuple[Entry, Photo, str]]:
    """An entry that tells of a photo, the photo, and of a picture the name of its file; often nothing.

    An unread length or small one leaves a photo without these. It is kept from being erased as long as its digest can
    be read.
    """
    with suppress(LookupError, TypeError, ValueError):
        entry = entry_of(text.decode())
        if entry.kind in {PHOTOGRAPHED, ERASED} and _DIGEST.fullmatch(digest := entry.said["digest"]):
            length, small = entry.said.get("bytes"), entry.judged.get("small")
            length = length if isinstance(length, int) else 0
            yield entry, Photo(digest, length, small if isinstance(small, str) else ""), ""
        elif entry.kind == PROCEDURE_ENTERED and entry.subject.startswith("procedure/"):
            for picture in (item["picture"] for item in entry.judged["procedure"]["work"] if "picture" in item):
                if _DIGEST.fullmatch(picture["digest"]):
                    yield entry, Photo(picture["digest"], 0, str(picture.get("small"))), str(picture.get("file"))


def faults(book: Path, photos: Named) -> Iterator[str]:
    """The photos and pictures that are lost or changed, and those that were erased and are there, in sentences."""
    folder = photos_of(book)
    for photo in photos.kept.values():
        file = photos.pictures.get(photo.digest)
        for name, digest in ((photo.name, photo.digest), (photo.small_name, photo.small)):
            if fault := _fault(folder / name, digest):
                called = f"picture {folder / name} ({file} of a procedure)" if file else f"photo {folder / name}"
                yield f"The {called} {fault}; bring it back from a backup."
    for digest, entry in photos.erased.items():
        for place in _there(book, digest):
            says = f"was erased on {entry.happened_at[:10]} by {entry.who}, and is there"
            yield f"The photo {place} {says}; rebuild the lists, which erases it once more."


def are_there(book: Path, digests: Iterable[str]) -> bool:
    """Whether a file of one of these photos is in the folder."""
    return any(_there(book, digest) for digest in digests)


def erase(book: Path, digests: Iterable[str]) -> None:
    """Write over the files of photos and take them away. Raises BookError, which says that the erasure stands."""
    gone = [place for digest in digests for place in _there(book, digest)]
    try:
        for place in gone:
            _write_over(place)
            place.unlink()
        if gone:
            flush_folder(photos_of(book))
    except OSError as error:
        stands = f"All is recorded and erased, but {error.filename or photos_of(book)} could not be taken away"
        does = "Look at the disk, then rebuild the lists: that erases it."
        raise BookError(f"{stands} ({error.strerror}), so the photo may still be there. {does}") from error


def _there(book: Path, digest: str) -> list[Path]:
    places = (photos_of(book) / name for name in (name_of(digest), small_name_of(digest)))
    return [place for place in places if place.is_file() and not place.is_symlink()]


def _write_over(place: Path) -> None:
    """Put noughts in the place of a file's content, as far as the disk writes where the file lay."""
    left = place.stat().st_size
    with place.open("r+b") as file:
        while left > 0:
            left -= file.write(bytes(min(left, _PIECE)))
        flush(file)


def _fault(place: Path, digest: str) -> str:
    try:
        content = place.read_bytes()
    except FileNotFoundError:
        return "is lost"
    except OSError as error:
        return f"cannot be read ({error.strerror})"
    return "" if sha256(content).hexdigest() == digest else "was changed"
