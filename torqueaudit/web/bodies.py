"""What a request may bring: the kind and the size of a form, decided by its head before any of it is kept or read."""

from typing import NamedTuple

from torqueaudit.photo import MOST_BYTES

MOST_FORM = 64 * 1024  # bytes; a form of words has a few thousand
MOST_PHOTO = MOST_BYTES + 16 * 1024  # a form puts a few bytes around its photo
PHOTO_FORM = "multipart/form-data"
NO_PLACE = "torqueaudit.no_place"  # in the environment of a photo for which there was no place
FORMS = ("application/x-www-form-urlencoded", PHOTO_FORM)


class NotTaken(NamedTuple):
    """Why a request is not taken, with the code of its answer (RFC 9110)."""

    code: int
    title: str
    says: str


_PHOTO_TOO_LARGE = f"A photo may have {MOST_BYTES // 2**20} MB. Take it smaller, or type the token."
_FORM_TOO_LARGE = f"A form may have {MOST_FORM // 1024} kB here."
_NO_FORM = "What was sent is no form of this page. Open the page and send it from there."


def not_taken(path: str, kind: str, length: int) -> NotTaken | None:
    """Why the body of a request is not taken; None where it is.

    `kind` is the Content-Type as it came, `length` the bytes it says it has.
    """
    photo = brings_photo(path)
    if length > (MOST_PHOTO if photo else MOST_FORM):
        return NotTaken(413, "Too large", _PHOTO_TOO_LARGE if photo else _FORM_TOO_LARGE)
    if length and kind.partition(";")[0].strip().lower() not in ((PHOTO_FORM,) if photo else FORMS):
        return NotTaken(415, "No form of this page", _NO_FORM)
    return None


def brings_photo(path: str) -> bool:
    """Whether an address is the one that takes a photo, wherever the book's pages begin."""
    return path.lower().endswith("/photo")
