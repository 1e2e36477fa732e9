"""The token that a label's address ends in: not to be guessed, not to be misread, and noticed when mistyped."""

from typing import Protocol

ALPHABET = "acdefhjkmnprtvwxy234679"  # 23 characters, none of which looks like another; 23 is prime
LENGTH = 19  # 18 random characters (81 bits) and one check character
GROUP = 5
LEAST_TYPED = GROUP  # fewer are a job's or a wrench's number, not a token mistyped

_HYPHENS = dict.fromkeys(map(ord, "-\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{EN DASH}\N{EM DASH}\N{MINUS SIGN}"))
_VALUE = {character: value for value, character in enumerate(ALPHABET)}
_LAST_WEIGHT_INVERSE = pow(LENGTH, -1, len(ALPHABET))


class TokenError(ValueError):
    """What is wrong with a token as typed, in one sentence."""


class Chance(Protocol):
    """A source of randomness, as `random.SystemRandom` is one."""

    def randrange(self, stop: int, /) -> int:
        """Give a whole number from 0 up to, not including, `stop`."""


def new_token(chance: Chance) -> str:
    """Make 18 random characters and a check character.

    The places weigh 1 to 19 and the weighted sum is a multiple of 23. As 23 is prime, any one wrong character and
    any two characters swapped change the sum.
    """
    values = [chance.randrange(len(ALPHABET)) for _ in range(LENGTH - 1)]
    values.append(-_weighed(values) * _LAST_WEIGHT_INVERSE % len(ALPHABET))
    return "".join(ALPHABET[value] for value in values)


def read_token(text: str) -> str:
    """Read a token as a person types it: any case, with or without spaces and hyphens. Raises TokenError."""
    token = "".join(text.split()).translate(_HYPHENS).lower()
    if len(token) < LEAST_TYPED:
        raise TokenError(
            f"{text.strip()!r} is no token: the token's {LENGTH} characters stand in groups "
            "under or beside the label's square code. Compare it with the label."
        )
    for character in token:
        if character not in _VALUE:
            raise TokenError(
                f"the character {character!r} never occurs in a label's token; it uses only {ALPHABET}. "
                "Compare it with the label."
            )
    if len(token) != LENGTH:
        raise TokenError(
            f"a label's token has {LENGTH} characters, this one has {len(token)}. Compare it with the label."
        )
    if _weighed([_VALUE[character] for character in token]):
        raise TokenError("one or more characters of this token are mistyped or swapped. Compare it with the label.")
    return token


def grouped(token: str) -> str:
    """Write a token the way it is printed, in groups: acdef-hjkmn-prtvw-xy23."""
    return "-".join(token[start : start + GROUP] for start in range(0, len(token), GROUP))


def _weighed(values: list[int]) -> int:
    return sum(weight * value for weight, value in enumerate(values, 1)) % len(ALPHABET)
