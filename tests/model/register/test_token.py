"""The record token: what it may hold, and that every single slip of a typing person is noticed."""

import random
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.model.register.token import ALPHABET, LENGTH, TokenError, grouped, new_token, read_token

tokens = st.integers(0, 2**64).map(lambda seed: new_token(random.Random(seed)))


def test_a_token_carries_at_least_eighty_bits() -> None:
    """18 characters of 23 are 81 bits, and no character looks like another."""
    assert len(ALPHABET) == len(set(ALPHABET)) == 23
    assert 23 ** (LENGTH - 1) > 2**81
    assert not set(ALPHABET) & set("01bgiloqsuz58")


@given(tokens)
def test_a_token_is_read_as_it_was_made(token: str) -> None:
    """Upper case, groups and spaces make no difference."""
    assert token == read_token(token) == read_token(grouped(token).upper()) == read_token(f" {' '.join(token)}\n")


def test_a_token_is_printed_in_groups() -> None:
    """Four groups, the last one short."""
    expected = "acdef-hjkmn-prtvw-xy23"
    actual = grouped("acdefhjkmnprtvwxy23")

    assert expected == actual


@given(tokens)
def test_every_single_wrong_character_is_noticed(token: str) -> None:
    """All 19 places, all 22 other characters."""
    for place in range(LENGTH):
        for character in set(ALPHABET) - {token[place]}:
            with pytest.raises(TokenError, match="mistyped or swapped"):
                read_token(token[:place] + character + token[place + 1 :])


@given(tokens)
def test_every_swap_of_two_characters_is_noticed(token: str) -> None:
    """Neighbours or not; a swap of two equal characters is no slip."""
    for first, second in combinations(range(LENGTH), 2):
        if token[first] != token[second]:
            letters = list(token)
            letters[first], letters[second] = letters[second], letters[first]
            with pytest.raises(TokenError, match="mistyped or swapped"):
                read_token("".join(letters))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "19 characters stand in groups under or beside"),
        ("12", "19 characters stand in groups under or beside"),
        ("w1", "19 characters stand in groups under or beside"),
        ("acdef", "has 19 characters, this one has 5"),
        ("acdef-hjkmn-prtvw-xy23a", "has 19 characters, this one has 20"),
        ("acdef-hjkmn-prtvw-xy2b", "'b' never occurs"),
        ("acdef-hjkmn-prtvw-xy2\u0131", "never occurs"),
        ("../../etc/passwd", "'.' never occurs"),
    ],
)
def test_a_mistyped_token_is_told_in_a_sentence(text: str, says: str) -> None:
    """Wrong length, or a character that no token has."""
    with pytest.raises(TokenError, match=says):
        read_token(text)


def test_the_check_character_takes_every_value() -> None:
    """No character of the alphabet is lost to the check place."""
    chance = random.Random(18004)
    actual = {new_token(chance)[-1] for _ in range(500)}

    assert set(ALPHABET) == actual


def test_a_pasted_dash_is_a_hyphen() -> None:
    """What a word processor makes of one."""
    token = new_token(random.Random(3))

    assert token == read_token(grouped(token).replace("-", "\N{EN DASH}"))
