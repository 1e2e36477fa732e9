"""What somebody probably meant who mistyped a word: the nearest of those that are known, for every refusal alike."""

from collections.abc import Iterable

_AS_DIGITS = str.maketrans("OoIl", "0011")
SHORTEST_PART = 3  # letters of a word that stands for a longer one; fewer are in too many of them


def nearest(word: str, known: Iterable[str]) -> str:
    """The known word that was probably meant, "" where none is near.

    It is the one whose letters and digits are the same, else the shortest that holds them if every other that does
    holds it too, and else the most similar one. A word that different ones hold is near to none of them.
    """
    from difflib import get_close_matches  # only where something is refused

    typed, words = letters_of(word), {letters_of(each): each for each in known}
    if typed in words:
        return words[typed]
    if len(typed) >= SHORTEST_PART and (holding := sorted((each for each in words if typed in each), key=len)):
        return words[holding[0]] if all(holding[0] in each for each in holding) else ""
    return next((words[letters] for letters in get_close_matches(typed, words, 1)), "")


def did_you_mean(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """The nearest of the known words as a question; where none is near `otherwise`, or else all of them."""
    words = sorted(known)
    near = nearest(word, words)
    return f'did you mean "{near}"?' if near else otherwise or f"known are {', '.join(words) or 'none'}"


def digits_meant(text: str) -> str:
    """A text whose numbers hold a letter O, I or l, with digits in their places: "520" for "52O"; "" for any other."""
    meant = " ".join(word.translate(_AS_DIGITS) if _reads_as_number(word) else word for word in text.split())
    return "" if meant == " ".join(text.split()) else meant


def _reads_as_number(word: str) -> bool:
    return any(map(str.isdecimal, word)) and word.translate(_AS_DIGITS).isdecimal()


def letters_of(text: str) -> str:
    """The letters and digits of a text, in small letters: what is left where case, hyphens and commas say nothing."""
    return "".join(filter(str.isalnum, text)).casefold()
