"""How a name, a plate, an address or a number is written, and how a text writes it: they meet in equal strings.

    "Anna Example, Mill Lane 4, +43 660 123 4567"   is met by "anna", "AnnaExample", "mill lane", "0660/1234567"

Words count whole, in any case, with or without accents. A plate counts however it is spaced, a telephone number by its
digits however they are grouped and whatever stands before them: +43, 0043 or 0. Common words (`common_words`) are
not sought singly. See decision 0075.
"""

import re
import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby

from torqueaudit.book.spelling import spellings, words_in

# Nobody writes them, and by chance one looks like a telephone number.
NOT_SOUGHT = frozenset({"secret", "stop", "key_in_list", "moved_in_from"})
# Not compiled here: whoever only reads the book looks for no word.
_TELEPHONE = r"(?:\+|\b0|\(0)(?:[\s()/.–-]*\d){4,16}|\b[1-9](?:[\s()/.–-]*\d){6,16}"
_PIECES = r"[,;|\n]| [-–] "
_LONGEST = 6  # words that are joined; "X AB 12" is three
_MOST_GROUPS = 8  # groups of digits in which a telephone number is written
_SHORTEST = 3
_SHORTEST_PART = 5  # of a plate without its first letters, and of a bare number
_SHORTEST_NUMBER = 6  # digits of a telephone number's end
_COUNTRY = 3  # digits of the longest country code
_POSTCODE = 4  # digits from which on a number before a place is no house number


def ways_of(fields: Mapping[str, str]) -> set[str]:
    """Every way in which what is known of somebody may stand in a text."""
    return {way for field, value in fields.items() for way in ways_of_field(field, value)}


def ways_of_field(field: str, value: str, *, strict: bool = False) -> set[str]:
    """The ways of one field: a name, a plate, a frame number, or a contact with whatever stands in it.

    When `strict`, also single words that are common ones; colours alone are left out then.
    """
    if field in NOT_SOUGHT:
        return set()
    if field == "plate":
        return set(_plate(words_in(value)))
    if field == "frame_number":
        return set(_whole(words_in(value)))
    from torqueaudit.book.common_words import colours, not_sought  # only where a name is written down

    common = colours() if strict else not_sought()
    if field == "name":
        return set(_name(words_in(value), common))
    return set(_contact(unicodedata.normalize("NFKC", value), common))


def ways_in(text: str, *, singly: bool = True) -> set[str]:
    """Every way that a text writes something in; without single words where these name what it is about."""
    words = words_in(text)
    runs = ["".join(run) for run in _runs(words, _LONGEST)]
    joined = {way for run in runs for way in (*_spelled(run), f"^{run}")}
    single = {f"={way}" for word in words for way in _spelled(word)} if singly else set()
    return {*joined, *single, *_numbers_in(words)}


def reached_by(value: str) -> set[str]:
    """The ways of whole names, telephone numbers and mail addresses in a contact: who shares one is the same."""
    from torqueaudit.book.common_words import not_sought  # only where somebody is looked for

    pieces = re.split(_PIECES, re.sub(_TELEPHONE, ",", value))
    kept = [piece for piece in pieces if "@" in piece or not _has_digit(piece)]
    telephones = [f"+{rest}" for number in re.findall(_TELEPHONE, value) for rest in numbers_of(number)]
    names = {way for piece in kept for way in _contact(piece, not_sought()) if not way.startswith("=")}
    return {*names, *(way for way in telephones if len(way) > _SHORTEST_PART)}


def _has_digit(piece: str) -> bool:
    return any(map(str.isdecimal, piece))


def besides(text: str, other: str) -> str:
    """The words of a text that another one does not have, in their order."""
    left_out = {word.casefold() for word in words_in(other)}
    return " ".join(word for word in words_in(text) if word.casefold() not in left_out)


def telephones_in(text: str) -> list[str]:
    """The digits of each telephone number in a text, without zeros before them."""
    return [_significant(number) for number in re.findall(_TELEPHONE, unicodedata.normalize("NFKC", text))]


def telephones_as_written(text: str) -> list[str]:
    """Each telephone number in a text as it stands there: "0660 123 45 67"."""
    return [number.strip() for number in re.findall(_TELEPHONE, unicodedata.normalize("NFKC", text))]


def numbers_of(typed: str) -> list[str]:
    """What of the digits of a number may be kept of it: all, and what a country's code before it leaves."""
    digits = _significant(typed)
    cuts = range(_COUNTRY + 1 if typed.lstrip().startswith(("+", "00")) else 1)
    return list(dict.fromkeys(digits[cut:].lstrip("0") for cut in cuts))


def _runs(words: list[str], most: int) -> Iterator[list[str]]:
    """Words that stand one behind the other."""
    for start in range(len(words)):
        for end in range(start + 1, min(start + most, len(words)) + 1):
            yield words[start:end]


def _spelled(word: str) -> set[str]:
    """A word in small letters, with its accents, without them, and as they are written where they cannot be typed."""
    return {word.casefold(), *spellings(word)}


def _name(words: list[str], common: frozenset[str]) -> Iterator[str]:
    """Somebody's whole name, and each of its words that is no common one.

    A name of common words alone counts whole, with its capital letters as they are.
    """
    if len(words) > 1:
        if {word.casefold() for word in words} <= common:
            yield f"^{''.join(words)}"
        else:
            yield from _whole(words)
    yield from _singly(words, common)


def _singly(words: Iterable[str], common: frozenset[str]) -> Iterator[str]:
    for word in words:
        if len(word) >= _SHORTEST and word.isalpha() and word.casefold() not in common:
            yield from (f"={way}" for way in _spelled(word))


def _whole(words: list[str]) -> Iterator[str]:
    whole = "".join(words)
    if len(whole) >= (_SHORTEST_PART if whole.isdecimal() else _SHORTEST):
        yield from _spelled(whole)


def _plate(words: list[str]) -> Iterator[str]:
    """Whole, and without the letters of its district."""
    yield from _whole(words)
    rest = "".join(words[1:])
    if words and words[0].isalpha() and len(rest) >= _SHORTEST_PART and any(map(str.isdecimal, rest)):
        yield from _spelled(rest)


def _contact(value: str, common: frozenset[str]) -> Iterator[str]:
    """Each telephone number, address for mail, name, and place in it."""
    for number in re.findall(_TELEPHONE, value):
        yield from _telephone(number)
    for piece in re.split(_PIECES, re.sub(_TELEPHONE, ",", value)):
        words = words_in(piece)
        if "@" in piece:
            yield from _whole(words)
            yield from _singly(words_in(piece.partition("@")[0]), common)
        elif _has_digit(piece):
            yield from _address(words, common)
        else:
            yield from _name(words, common)


def _address(words: list[str], common: frozenset[str]) -> Iterator[str]:
    """Whole, the street without its number, and what mixes letters and digits; a place only behind its postcode."""
    yield from _whole(words)
    for word in words:
        if len(word) >= _SHORTEST_PART and not word.isalpha() and not word.isdecimal():
            yield from _spelled(word)
    first = next((place for place, word in enumerate(words) if word[0].isdecimal()), len(words))
    behind = words[first + 1 :] if len("".join(words[first : first + 1])) < _POSTCODE else []
    for street in (words[:first], behind):
        yield from _whole(street) if len(street) > 1 else _singly(street, common)


def _telephone(number: str) -> Iterator[str]:
    """Its digits without zeros before them, each end of them, and what is left without a country's code."""
    digits = _significant(number)
    if len(digits) < _SHORTEST_PART:
        return
    yield from (f"+{rest}" for rest in numbers_of(number) if len(rest) >= _SHORTEST_PART)
    yield f"#{digits}"
    yield from (f"#{digits[cut:]}" for cut in range(1, len(digits) - _SHORTEST_NUMBER + 1))


def _numbers_in(words: list[str]) -> Iterator[str]:
    """The numbers that groups of digits in a text may be: "#" as they are, "+" with anything before them left out."""
    for number, groups in groupby(words, key=str.isdecimal):
        for run in _runs(list(groups), _MOST_GROUPS) if number else ():
            digits = _significant("".join(run))
            if len(digits) >= _SHORTEST_PART:
                yield f"#{digits}"
                yield from (f"+{digits[cut:]}" for cut in range(len(digits) - _SHORTEST_PART + 1))


def _significant(number: str) -> str:
    return "".join(filter(str.isdecimal, number)).lstrip("0")
