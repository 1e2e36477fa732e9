"""What somebody probably meant who mistyped a word: the nearest of those that are known, for every refusal alike."""

from collections.abc import Iterable

from torqueaudit.model.numbers import in_digits

_AS_DIGITS = str.maketrans("OoIl", "0011")
MOST_NAMED = 3  # words that all hold what was typed; more are no help
SHORTEST_PART = 3  # letters of a word that stands for a longer one; fewer are in too many of them


def near(word: str, known: Iterable[str]) -> list[str]:
    """The known words of which one was probably meant, mostly one; none where none is near.

    It is the one whose letters and digits are the same, else those that hold them, and else the most similar one. Of
    words that hold each other, such as a group and its bolts, it is the shortest.
    """
    from difflib import get_close_matches  # only where something is refused

    typed, words = letters_of(word), {letters_of(each): each for each in known}
    if typed in words:
        return [words[typed]]
    holding = [each for each in words if typed in each] if len(typed) >= SHORTEST_PART else []
    shortest = [each for each in holding if not any(other in each for other in holding if other != each)]
    if shortest:
        return [words[each] for each in shortest] if len(shortest) <= MOST_NAMED else []
    return [words[each] for each in get_close_matches(typed, words, 1)]


def did_you_mean(word: str, known: Iterable[str], otherwise: str = "") -> str:
    """What was probably meant as a question; where nothing is near `otherwise`, or else all that is known."""
    words = sorted(known)
    meant = " or ".join(f'"{each}"' for each in near(word, words))
    return f"did you mean {meant}?" if meant else otherwise or f"known are {', '.join(words) or 'none'}"


def digits_meant(text: str) -> str:
    """A text whose numbers hold a letter O, I or l, or digits other than 0 to 9, as it was meant: "520" for "52O".

    "" for any other text.
    """
    words = (word.translate(_AS_DIGITS) if _reads_as_number(word) else word for word in text.split())
    meant = in_digits(" ".join(words))
    return "" if meant == " ".join(text.split()) else meant


def _reads_as_number(word: str) -> bool:
    return any(map(str.isdecimal, word)) and word.translate(_AS_DIGITS).isdecimal()


def letters_of(text: str) -> str:
    """The letters and digits of a text, in small letters: what is left where case, hyphens and commas say nothing."""
    return "".join(filter(str.isalnum, text)).casefold()
