"""What somebody types to find something, read as numbers and as words.

"AB 12 axle"        “AB 12” joined, for neither has three letters, and “axle”
"+43 660/123 45 67" one telephone number, however it is grouped and whatever stands before it
"V-2 axle"          the vehicle of that number, and “axle”
"lot C-24"          “C-24”, and “lot” wherever it is written or is what “C-24” is
"""

import re
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from torqueaudit.book.finds import FIELDS
from torqueaudit.book.spelling import signless, spellings, words_in
from torqueaudit.book.written import numbers_of
from torqueaudit.model.act import Refused
from torqueaudit.signs import require_seen
from torqueaudit.workshop.door.refusal import refused_if_unreadable
from torqueaudit.workshop.vehicles.contact import CONTACT, OF_VEHICLE, WAYS

SHORTEST = 3  # letters and digits; by fewer the index of three letters finds nothing
LONGEST = 200  # characters
MOST_WORDS = 8
_TELEPHONE = r"[+(]?\(?0?[0-9][0-9()/.–-]*"
_NUMBERS = {"V": "vehicle", "W": "wrench", "P": "person", "D": "device"}
_CALLED = {"why": "reason", "to_whom": "handed to"}
_ALSO = {"vehicle": ("motorcycle",), CONTACT: ("owner", "telephone"), "mobile": ("telephone",)}


def called(field: str) -> str:
    """What people call the field of something that was told."""
    return _CALLED.get(field, field.replace("_", " "))


def _says(name: str) -> set[str]:
    """The words by which people say that something is of a field or of a noun ("wrench")."""
    return {*called(name).split(), *_ALSO.get(name, ())}


# What people write before what they look for: what it is, or what it is known of.
_NAMES = frozenset().union(*map(_says, (*FIELDS, *OF_VEHICLE, CONTACT, *WAYS, "name", "procedure", *_NUMBERS.values())))


class Sought(NamedTuple):
    """One word that is looked for, in each way in which it may be kept; or a `subject` by its number, or either."""

    typed: str
    ways: tuple[str, ...]
    subject: str = ""

    @property
    def may_name(self) -> bool:
        """Whether it may say what another word is: a lot, a plate, something of a wrench."""
        return not _NAMES.isdisjoint(self.ways)

    def names(self, field: str, noun: str) -> bool:
        """Whether it says that something is of this field, or of a noun ("wrench")."""
        return self.may_name and not (_says(field) | _says(noun)).isdisjoint(self.ways)


def read_sought(typed: str) -> list[Sought]:
    """The words of what was typed. Raises Refused where a word is too short, or there are too many."""
    with refused_if_unreadable():
        require_seen(typed, "what is looked for")
    if len(typed) > LONGEST:
        raise Refused(f"at most {LONGEST} characters are looked for at once")
    last = typed.strip().rstrip("/").rpartition("/")[2] if "://" in typed else typed  # a label's whole address
    pieces = _pieces(last.split())
    sought = [_sought(piece) for piece in pieces] if len(pieces) > 1 else [*map(_alone, pieces)]
    sought = [each for each in sought if each.ways or each.subject]
    if not sought:
        says = "write at least three letters or digits of it"
        raise Refused(f"“{typed.strip()}”: {says}" if typed.strip() else f"nothing was typed; {says}")
    if len(sought) > MOST_WORDS:
        raise Refused(f"at most {MOST_WORDS} words are looked for at once; leave out the common ones")
    return sought


def _pieces(typed: list[str]) -> list[str]:
    """What belongs together: a telephone number, “job 7”, and a word of less than three letters with its neighbour."""
    place = 0
    pieces: list[str] = []
    while place < len(typed):
        length = _length_of_number(typed[place:])
        pieces.append(" ".join(typed[place : place + length]))
        place += length
    return _joined(pieces)


def _length_of_number(typed: list[str]) -> int:
    """How many pieces are one number: “job 7”, or one of a telephone, which begins with a zero or a plus."""
    if typed[0].casefold() == "job" and typed[1:] and typed[1].lstrip("#").isdecimal():
        return 2
    if not re.match(r"[+(0]", typed[0]):
        return 1
    digits = [bool(re.fullmatch(_TELEPHONE, each)) for each in typed]
    return max(1, digits.index(False) if False in digits else len(digits))


def _joined(pieces: list[str]) -> list[str]:
    """The pieces, short ones joined to each other, or digits to what is before them and letters to what is behind."""
    short = [_is_short(piece) and not _subject(piece) for piece in pieces]
    joined: list[str] = []
    waiting = ""
    for is_short, run in groupby(zip(short, pieces, strict=True), key=itemgetter(0)):
        own = [piece for _, piece in run]
        together = " ".join(own)
        if not is_short:
            joined += [f"{waiting} {own[0]}".strip(), *own[1:]]
            waiting = ""
        elif not _is_short(together):
            joined.append(together)
        elif joined and "".join(words_in(together)).isdecimal():
            joined[-1] += f" {together}"
        else:
            waiting = together
    if waiting:
        joined[-1:] = [f"{joined[-1]} {waiting}" if joined else waiting]
    return joined


def _is_short(text: str) -> bool:
    return len("".join(words_in(text))) < SHORTEST


def _sought(piece: str) -> Sought:
    words = [signless(spelling) for spelling in spellings(piece)]
    ways = [*words, *(each.replace(" ", "") for each in words)]
    if re.fullmatch(rf"({_TELEPHONE}[ ]?)+", piece) and re.match(r"[+(0]", piece):
        ways += numbers_of(piece)
    long_enough = {way for way in ways if not _is_short(way)}
    # Whatever holds a longer way holds the shorter one in it too.
    least = sorted(way for way in long_enough if not any(other in way for other in long_enough - {way}))
    return Sought(piece, tuple(least), _subject(piece))


def _alone(piece: str) -> Sought:
    """The only word: a bare number is also a job's."""
    own = _sought(piece)
    return own._replace(subject=own.subject or _subject(f"job {piece}"))


def _subject(piece: str) -> str:
    """The subject that a piece may be the number of: "v2", "W-3", "job 7"; else ""."""
    if read := re.fullmatch(r"job #?0*([1-9][0-9]{0,8})", piece, re.IGNORECASE):
        return f"job/{read[1]}"
    if read := re.fullmatch("([vwpd])[ \u2010-\u2013\u2212-]?0*([1-9][0-9]{0,8})", piece, re.IGNORECASE):
        letter = read[1].upper()
        return f"{_NUMBERS[letter]}/{letter}-{read[2]}"
    return ""
