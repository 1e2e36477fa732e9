"""Reading a photo in a process of its own, which has limits of time and memory and ends with the photo."""

import json
import logging
from collections.abc import Iterable
from typing import IO, Any, NamedTuple

from torqueaudit.apart import Ended, answer_apart
from torqueaudit.photo.decode import TEXT, Seen
from torqueaudit.photo.harmless import HARMLESS, SHOWN, Area, Harmless
from torqueaudit.photo.pictures import NotRead

MOST_WAITED = 30  # seconds; more than the processor time it has, for it gives way to everything else

_PROGRAM = "torqueaudit.photo.child"

logger = logging.getLogger(__name__)


class _Says(NamedTuple):
    """What is said where nothing comes of a photo: it took too long, or the process broke off."""

    too_long: str
    broke_off: str


_OF_LABELS = _Says(
    "this photo takes too long to read; photograph the label alone and from near, or type its token",
    "reading this photo broke off, which is no fault of the photo; type the token of the label",
)
_OF_CODES = _Says(
    "this photo takes too long to read; photograph the code alone and from near, or type what it says",
    "reading this photo broke off, which is no fault of the photo; type what the code says",
)
_OF_WORK = _Says(
    "this photo takes too long to read; take it anew, or send a smaller one",
    "reading this photo broke off, and nothing of it was kept; send it again, or take it anew",
)
_OF_PROCEDURES = _Says(
    "this picture takes too long to read; save a smaller one",
    "reading this picture broke off, and nothing of it was kept; do it again, or save the picture anew",
)


def read_apart(photo: IO[bytes], seconds: float = MOST_WAITED) -> Seen:
    """Read the label in a photo that lies in a file of the system's, from where it stands. Raises NotRead.

    It is given up after so many seconds. The bytes go from the file to the other process and never into this one.
    """
    told, _ = _asked((), photo, seconds, _OF_LABELS)
    return Seen(**told)


def read_text_apart(photo: IO[bytes], seconds: float = MOST_WAITED) -> str:
    """What the one code in a photo says, which lies in a file of the system's. Raises NotRead, as `read_apart`."""
    told, _ = _asked((TEXT,), photo, seconds, _OF_CODES)
    return str(told[TEXT])


def make_harmless_apart(photo: IO[bytes] | bytes, black: Iterable[Area] = (), seconds: float = MOST_WAITED) -> Harmless:
    """Make a photo of work harmless, with areas blacked out. Raises NotRead.

    It lies in a file of the system's, whose bytes never come into this process; or it is one that was made harmless
    already. It is given up after so many seconds.
    """
    areas = (",".join(map(repr, area)) for area in black)
    return _harmless((HARMLESS, *areas), photo, seconds, _OF_WORK)


def make_shown_apart(picture: IO[bytes], seconds: float = MOST_WAITED) -> Harmless:
    """Make a picture of a procedure harmless, and no larger than a page shows it. Raises NotRead.

    It lies in a file of the system's, and is given up after so many seconds.
    """
    return _harmless((SHOWN,), picture, seconds, _OF_PROCEDURES)


def _harmless(words: Iterable[str], photo: IO[bytes] | bytes, seconds: float, says: _Says) -> Harmless:
    told, pictures = _asked(words, photo, seconds, says)
    return Harmless(pictures[: told["photo"]], pictures[told["photo"] :])


def _asked(words: Iterable[str], photo: IO[bytes] | bytes, seconds: float, says: _Says) -> tuple[dict[str, Any], bytes]:
    """What the other process tells of a photo, and the bytes behind that."""
    try:
        answer = answer_apart(_PROGRAM, words, photo, seconds)
    except Ended as ended:
        if ended.code is not None:
            logger.warning("reading a photo ended with %s", ended.code)
        raise NotRead(says.too_long if ended.too_long else says.broke_off) from ended
    line, _, behind = answer.partition(b"\n")
    told = json.loads(line)
    if "not_read" in told:
        raise NotRead(told["not_read"])
    return told, behind
