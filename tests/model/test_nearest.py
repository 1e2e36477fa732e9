"""What a mistyped word was meant to be, decided in one place."""

import pytest

from torqueaudit.model.nearest import did_you_mean, near

KEYS = ("front-axle", "rear-axle-nut", "sprocket-bolt", "sprocket-bolt-1", "sprocket-bolt-2", "chain-look")


@pytest.mark.parametrize(
    ("word", "meant"),
    [
        ("front-axel", "front-axle"),  # two letters changed places
        ("Front_Axle", "front-axle"),  # the same letters
        ("frontaxle", "front-axle"),
        ("nut", "rear-axle-nut"),  # a part of one alone
        ("axle", "front-axle or rear-axle-nut"),  # a part of two
        ("o", ""),  # too short to be one
        ("sprocket", "sprocket-bolt"),  # of which the others are parts
        ("sprocket-blot-2", "sprocket-bolt-2"),  # with its number
        ("sprocket-bolt2", "sprocket-bolt-2"),
        ("no", ""),  # too short to be a part
        ("zebra", ""),
        ("", ""),
    ],
)
def test_what_is_near_was_meant(word: str, meant: str) -> None:
    """The same letters first, then the one that holds the word, then the most similar."""
    assert meant == " or ".join(near(word, KEYS))


def test_a_refusal_asks_or_lists() -> None:
    """All that are known where none is near, in the words of whoever refuses or in its own."""
    assert 'did you mean "front-axle"?' == did_you_mean("front-axel", KEYS)
    assert 'did you mean "front-axle" or "rear-axle-nut"?' == did_you_mean("axle", KEYS)
    assert "known are bolt-a, bolt-b, bolt-c, bolt-d" == did_you_mean("bolt", [f"bolt-{each}" for each in "abcd"])
    assert "known are a, b" == did_you_mean("zebra", {"b", "a"})
    assert "known are none" == did_you_mean("zebra", ())
    assert "it has a and b" == did_you_mean("zebra", ("a", "b"), "it has a and b")
