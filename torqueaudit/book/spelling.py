"""How words are spelled so that they meet, whatever case, accents and signs they are written with.

    "Müßig-Straße"   is "mussig strasse" and "muessig strasse"
    "Sørensen"       is "sorensen" and "soerensen"

One rule for whatever is kept to be found and for whatever is typed to find it.
"""

import re

_WORD = r"[^\W_]+"  # not compiled here: most commands spell nothing
# Letters that no accent makes: as their nearest one, and as they are written where they cannot be typed.
_NEAREST = str.maketrans(
    {"ø": "o", "æ": "ae", "œ": "oe", "đ": "d", "ð": "d", "ł": "l", "\u0131": "i", "þ": "th", "ħ": "h"}
)
_AS_WRITTEN = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "å": "aa", "æ": "ae", "ø": "oe"})


def words_in(text: str) -> list[str]:
    """The words of a text, in the letters that they have."""
    return re.findall(_WORD, _compatible(text))


def spellings(text: str) -> tuple[str, ...]:
    """A text in small letters without accents, in each way in which these are left out; signs and spaces stay."""
    small = _compatible(text).casefold()
    if small.isascii():
        return (small,)
    from unicodedata import normalize  # slow to load, and most texts are plain

    return tuple(dict.fromkeys((_bare(small), _bare(normalize("NFC", small).translate(_AS_WRITTEN)))))


def signless(text: str) -> str:
    """The words of a text with one space between them, and nothing else."""
    return " ".join(words_in(text))


def _compatible(text: str) -> str:
    if text.isascii():
        return text
    from unicodedata import normalize

    return normalize("NFKC", text)


def _bare(small: str) -> str:
    from unicodedata import combining, normalize

    decomposed = normalize("NFKD", small.translate(_NEAREST))
    return "".join(each for each in decomposed if not combining(each))
