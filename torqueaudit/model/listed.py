"""Words in one sentence, for every room that names several things."""

from collections.abc import Iterable


def listed(words: Iterable[str]) -> str:
    """Words in their order: "the job label, the owner's tag and the mark card". Raises ValueError for none."""
    *most, last = words
    return f"{', '.join(most)} and {last}" if most else last
