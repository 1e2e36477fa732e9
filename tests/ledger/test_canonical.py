"""The canonical form against RFC 8785 and what it refuses."""

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from torqueaudit.ledger.canonical import LARGEST_INTEGER, canonical

keys = st.from_regex(r"[a-z0-9_]{1,8}", fullmatch=True)
texts = st.text(st.characters(exclude_categories=["Cs"]))
leaves = texts | st.booleans() | st.integers(-LARGEST_INTEGER, LARGEST_INTEGER)
values = st.recursive(leaves, lambda inner: st.lists(inner) | st.dictionaries(keys, inner), max_leaves=20)


@given(values)
def test_the_canonical_form_is_rfc_8785(value: object) -> None:
    """Outside check: the package rfc8785, an implementation of RFC 8785 by others."""
    expected = rfc8785.dumps(value)  # type: ignore[arg-type]
    actual = canonical(value).encode()

    assert expected == actual


@pytest.mark.parametrize(
    ("value", "says"),
    [
        ({"a": None}, "value.a: nothing stands here; leave the key out"),
        ({"a": 1.0}, "value.a: float cannot stand in the ledger; write decimals and dates as strings"),
        ({"a": [1, float("nan")]}, "value.a[1]: float cannot stand in the ledger; write decimals and dates as strings"),
        ({"a": (1, 2)}, "value.a: tuple cannot stand in the ledger; write decimals and dates as strings"),
        ({"a": b"x"}, "value.a: bytes cannot stand in the ledger; write decimals and dates as strings"),
    ],
)
def test_a_value_of_a_foreign_kind_is_refused(value: object, says: str) -> None:
    """What two programs might write differently never enters, and the sentence says where it stands."""
    with pytest.raises(TypeError) as refused:
        canonical(value)

    assert says == str(refused.value)


@pytest.mark.parametrize("value", [{"A": 1}, {"a-b": 1}, {"": 1}, {"ä": 1}, {"a": {"b ": 1}}])
def test_a_key_beyond_small_letters_digits_and_underscore_is_refused(value: object) -> None:
    """Other keys might sort differently in UTF-8 and UTF-16."""
    with pytest.raises(ValueError, match="may hold only a-z, 0-9 and _"):
        canonical(value)


@pytest.mark.parametrize("number", [2**53, -(2**53), 10**30])
def test_a_number_from_2_to_the_53_on_is_refused(number: int) -> None:
    """A reader that keeps numbers as IEEE doubles would change it."""
    with pytest.raises(ValueError, match="larger than 2"):
        canonical({"a": number})


@pytest.mark.parametrize("text", ["\ud800", "ok \udfff", {"a": "\udc00"}, ["x", "\ud83d"]])
def test_half_a_character_is_refused(text: object) -> None:
    """A lone surrogate has no UTF-8."""
    with pytest.raises(ValueError, match="lone surrogate"):
        canonical(text)


def test_yes_and_one_are_not_the_same() -> None:
    """Python holds True and 1 for equal; the ledger does not."""
    assert '{"a":true,"b":1}' == canonical({"a": True, "b": 1})
