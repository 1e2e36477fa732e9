"""Words, texts, bytes and commands, spoilt in a few places by chance, as a slip or a stranger would."""

import string
from collections.abc import Sequence
from random import Random
from typing import Any

_SIGNS = "0123456789.,:;@°±%-+/=#\"'[]{}()<>|\\ \t\n\r\0\x1b\x85\u00a0\u200b\u202e\u2028\u2212\u2013\u3000\ufeff"
_ODD = ("\ud800", "\U0001f600", "中", "٣", "½", "ß", "İ", "ﬁ", "Ａ", "e\u0301", "μ", "″", "∞", "²")  # noqa: RUF001
_TOKENS = (
    *("nan", "inf", "-0", "1e999", "1e-999", "0x10", "1_000", "9" * 25, "9" * 6000, "0." + "0" * 400 + "1", "1/0"),
    *("9999-12-31", "0001-01-01 00:00", "2031-02-30", "24:00", "2031-04-02T09:15+99:99", "N·m", "lbf·ft", "km", "mi"),
    *(
        "P-1",
        "V-1",
        "W-1",
        "#0",
        "{}",
        "[]",
        "null",
        "true",
        '"""',
        "'''",
        "%s",
        "{0}",
        "[" * 3000,
        "--",
        "-h",
        "--json",
    ),
)


def spoilt(chance: Random, corpus: Sequence[Any]) -> Any:
    """A word, a text, some bytes or the words of a command, from the corpus and spoilt in a few places."""
    chosen = chance.choice(corpus)
    if isinstance(chosen, tuple):
        return _spoilt_words(chance, list(chosen), corpus)
    for _ in range(chance.choice((0, 1, 1, 1, 2, 3, 8))):
        chosen = _spoilt_once(chance, chosen, corpus)
    return chosen


def _spoilt_words(chance: Random, words: list[str], corpus: Sequence[Any]) -> tuple[str, ...]:
    for _ in range(chance.choice((1, 1, 2, 3))):
        at = chance.randrange(len(words) + 1)
        match chance.randrange(4):
            case 0 if at < len(words):
                del words[at]
            case 1:
                words.insert(at, chance.choice(chance.choice(corpus) or ("x",)))
            case 2:
                words.insert(at, chance.choice(_TOKENS))
            case _ if at < len(words):
                words[at] = spoilt(chance, [words[at]])
    return tuple(words)


def _spoilt_once(chance: Random, given: Any, corpus: Sequence[Any]) -> Any:
    """One change: a piece taken out, put twice, put elsewhere, out of another sample, or a strange sign in between."""
    first, last = sorted((chance.randrange(len(given) + 1), chance.randrange(len(given) + 1)))
    if chance.random() < 0.7:  # most changes are small
        last = min(last, first + chance.randrange(4))
    other = chance.choice(corpus)
    piece = other[chance.randrange(len(other) + 1) :][: chance.randrange(12)]
    strange = _strange_bytes(chance) if isinstance(given, bytes) else _strange(chance)
    match chance.randrange(6):
        case 0:
            return given[:first] + given[last:]
        case 1:
            return given[:last] + given[first:]
        case 2:
            return given[:first] + piece + given[last:]
        case 3:
            return given[:first]
        case _:
            return given[:first] + strange + given[last:]


def _strange(chance: Random) -> str:
    return chance.choice(
        (chance.choice(_SIGNS), chance.choice(_ODD), chance.choice(_TOKENS), chance.choice(string.ascii_letters))
    )


def _strange_bytes(chance: Random) -> bytes:
    return chance.choice((b"\0", b"\xff", b"\xff\xff\xff\xff", b"\x7f\xff", bytes([chance.randrange(256)])))
