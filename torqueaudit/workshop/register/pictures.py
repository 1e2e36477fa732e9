"""Pictures of a procedure: read from beside its text, made harmless, and kept beside the book as photos are."""

import errno
import os
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from pathlib import Path
from stat import S_ISREG
from typing import IO, TYPE_CHECKING, NamedTuple, TypeAlias

from torqueaudit.book import photos, queries
from torqueaudit.model.act import Refused
from torqueaudit.model.job.photo import Photo
from torqueaudit.model.procedure.picture import Picture, require_name
from torqueaudit.model.procedure.procedure import Procedure
from torqueaudit.workshop.door.workshop import Workshop

if TYPE_CHECKING:
    from torqueaudit.photo import Harmless

MOST = 40  # pictures of one procedure
# A link is not followed, and what gives no bytes is not waited for; Windows knows neither.
_FLAGS = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


class _Made(NamedTuple):
    """A picture as the text names it, and what is to be kept of it."""

    picture: Picture
    harmless: "Harmless"
    weighed: Photo


Known: TypeAlias = Callable[[], Mapping[str, Picture]]  # the pictures that are kept already, by their digests


class PicturesBeside:
    """The pictures in the folder of a procedure's text, each read once, however often the text names it."""

    def __init__(self, folder: Path, known: Known = dict, looked: "dict[str, Picture] | None" = None) -> None:
        """`looked`: of whoever only looks, what came of files that were looked at before, by their digests."""
        self._folder = folder
        self._known = cache(known)  # it reads every picture that is kept
        self._looked = looked
        self._asked: set[str] = set()  # also those that could not be read, as each takes a process
        self._read: dict[str, _Made | Picture] = {}

    def picture_in(self, name: str) -> Picture:
        """The picture in a file of this name, made harmless.

        Raises ValueError with a sentence for what the text has to name otherwise, Refused where the disk gives no file.
        """
        require_name(name)
        if name not in self._asked and len(self._asked) == MOST:
            raise ValueError(f"“{name}” is one more picture than the {MOST} that a procedure may have")
        self._asked.add(name)
        if name not in self._read:
            self._read[name] = self._made(name)
        read = self._read[name]
        return read.picture if isinstance(read, _Made) else read

    def keep(self, book: Path) -> None:
        """Put every picture on the disk beside a book; one that is there already stays. Raises BookError."""
        for each in self._made_anew():
            photos.keep(book, *each.harmless, each.weighed)

    def keep_lost(self, book: Path) -> None:
        """Put back what was taken away meanwhile, as by whoever erased the same photo of a job. Raises BookError."""
        for each in self._made_anew():
            photos.keep_lost(book, *each.harmless, each.weighed)

    def _made_anew(self) -> Iterator[_Made]:
        return (each for each in self._read.values() if isinstance(each, _Made))

    def _made(self, name: str) -> _Made | Picture:
        from hashlib import sha256

        from torqueaudit.photo import MOST_BYTES, NotRead, make_shown_apart, shape_of  # few procedures have pictures

        try:
            with _opened(self._folder / name) as file:
                came = sha256(file.read(MOST_BYTES + 1)).hexdigest()
                if known := (self._looked or {}).get(came) or self._known().get(came):
                    return known._replace(file=name, says="")  # made harmless once more it would be another picture
                file.seek(0)
                harmless = make_shown_apart(file)
        except NotRead as error:
            raise ValueError(f"{name}: {error}") from None
        except FileNotFoundError:
            raise ValueError(f"{name} is not there; put it into {self._folder.absolute()}") from None
        except OSError as error:
            place = self._folder / name
            raise Refused(f"{place} cannot be read: {error.strerror}; the procedure was not entered") from None
        weighed, (width, height) = photos.weigh(*harmless), shape_of(harmless)
        picture = Picture(file=name, says="", digest=weighed.digest, small=weighed.small, width=width, height=height)
        if self._looked is not None:
            self._looked[came] = picture
        return _Made(picture, harmless, weighed)


def kept_pictures(workshop: Workshop) -> dict[str, Picture]:
    """The pictures of all procedures that lie whole beside the book, by their digests."""
    found = (workshop.procedure(row.digest).procedure.pictures() for row in queries.procedures(workshop.book))
    return {each.digest: each for pictures in found for each in pictures if _is_whole(workshop, each)}


def picture_file(workshop: Workshop, procedure: str, digest: str, *, small: bool = False) -> bytes | None:
    """The content of a picture that a procedure names, by the whole digests of both; None where it is not there.

    Raises Refused for an unknown procedure.
    """
    named = {each.digest: each for each in workshop.procedure(procedure).procedure.pictures()}
    found = named.get(digest)
    return photos.read(workshop.book.path, digest, found.small if small else "") if found else None


def require_whole(workshop: Workshop, procedure: Procedure) -> None:
    """Raise Refused where a picture that somebody is going to vouch for is not there as it was entered."""
    for each in procedure.pictures():
        if not _is_whole(workshop, each):
            says = f"the picture {each.file} is lost or was changed, so nobody can look at it"
            raise Refused(f"{says}; bring it back from a backup, or enter the procedure again with it")


def _is_whole(workshop: Workshop, picture: Picture) -> bool:
    return photos.is_whole(workshop.book.path, Photo(picture.digest, 0, picture.small))


def _opened(place: Path) -> IO[bytes]:
    """A file that is no link and no device, as it lies there. Raises ValueError, or OSError."""
    link = f"{place.name} is a link; put the picture itself beside the procedure"
    if place.is_symlink():
        raise ValueError(link)
    try:
        number = os.open(place, _FLAGS)
    except OSError as error:
        if error.errno == errno.ELOOP:  # it became one meanwhile
            raise ValueError(link) from None
        raise
    if not S_ISREG(os.fstat(number).st_mode):
        os.close(number)
        raise ValueError(f"{place.name} is no file; put the picture itself beside the procedure")
    return os.fdopen(number, "rb")
