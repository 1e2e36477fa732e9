"""Names and values as one text of a list."""

import json


def pairs_text(pairs: tuple[tuple[str, str], ...]) -> str:
    """Names and values as a list keeps them, in their order: [["posture","side stand"]]."""
    return json.dumps(pairs, ensure_ascii=False, separators=(",", ":"))


def pairs_of(text: str) -> tuple[tuple[str, str], ...]:
    """Names and values of a text that `pairs_text` wrote."""
    return tuple((name, value) for name, value in json.loads(text))
