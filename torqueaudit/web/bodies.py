"""What a request may bring: the kind and the size of a form, decided by its head before any of it is kept or read."""

import re

from torqueaudit.book.papers import LARGEST
from torqueaudit.photo import MOST_BYTES
from torqueaudit.web.told import Told

MOST_FORM = 64 * 1024  # bytes; a form of words has a few thousand
MOST_PHOTO = MOST_BYTES + 16 * 1024  # a form puts a few bytes around its photo
PHOTO_FORM = "multipart/form-data"
NO_PLACE = "torqueaudit.no_place"  # in the environment of a photo for which there was no place
_TAKES_PHOTO = re.compile(r"/photo$|/job/[^/]+/photo/[^/]+$")
_TAKES_PAPER = re.compile(r"/office/wrench/[^/]+/calibrate$")  # a certificate's file, beside what is typed of it
FORMS = ("application/x-www-form-urlencoded", PHOTO_FORM)

_PHOTO_TOO_LARGE = Told("Too large", f"A photo may have {MOST_BYTES // 2**20} MB. Take it smaller.", 413)
_PAPER_TOO_LARGE = Told("Too large", f"A certificate's file may have {LARGEST // 2**20} MB. Scan it smaller.", 413)
_FORM_TOO_LARGE = Told("Too large", f"A form may have {MOST_FORM // 1024} kB here.", 413)
_TOO_LARGE = ((_TAKES_PHOTO, _PHOTO_TOO_LARGE), (_TAKES_PAPER, _PAPER_TOO_LARGE))
NO_FORM = Told(
    "No form of this page", "What was sent is no form of this page. Open the page and send it from there.", 415
)


def not_taken(path: str, kind: str, length: int) -> Told | None:
    """Why the body of a request is not taken; None where it is.

    `kind` is the Content-Type as it came, `length` the bytes it says it has.
    """
    if length > most_of(path):
        return next((told for takes, told in _TOO_LARGE if takes.search(path.lower())), _FORM_TOO_LARGE)
    if length and kind.partition(";")[0].strip().lower() not in ((PHOTO_FORM,) if brings_file(path) else FORMS):
        return NO_FORM
    return None


def most_of(path: str) -> int:
    """How many bytes the form of an address may have."""
    return MOST_PHOTO if brings_file(path) else MOST_FORM


def brings_file(path: str) -> bool:
    """Whether an address takes a photo, of a label or of work, or a certificate, wherever the book's pages begin."""
    return bool(_TAKES_PHOTO.search(path.lower()) or _TAKES_PAPER.search(path.lower()))
