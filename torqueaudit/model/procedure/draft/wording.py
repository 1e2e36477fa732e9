"""What is wrong with a text, in words for whoever types into a form and never sees the text."""

import re
from collections.abc import Callable

from torqueaudit.model.procedure.words import FIELDS

_PARTS = "add a fastener, a measurement, a step or a part"


def _see(found: "re.Match[str]") -> str:
    return f"; see “{FIELDS.get(found[1], found[1])}”"


# What the reader says, and what a form says in its place.
_SAID: tuple[tuple[str, str | Callable[["re.Match[str]"], str]], ...] = (
    (r"^is missing; a procedure has at least one \[\[work\]\] table$", f"nothing is to be done yet; {_PARTS}"),
    (r"^is missing; write \w+ = …$", "is missing"),
    (r"^is missing; write what it is measured in, like .*$", "is missing; tell what it is measured in, such as mm"),
    (
        r"^has to be a list of (each number from 1 to [0-9]+ once), as count says$",
        r"is “cross”, or \1",
    ),
    (r'^needs (\w+) = "(.+)"$', lambda found: f"needs “{found[2]}” as the {FIELDS.get(found[1], found[1])}"),
    (
        r'^"(.+)" is used twice, here and by (.+); each position has one key$',
        r"“\1” is the short name of “\2” too; take one of them out, or tell another name and short name",
    ),
    (r"has to be true or false, without quotation marks", "has to be yes or no"),
    (r'" is no key;', '" is no short name;'),
    (r", without quotation marks|, like \w+ = .*$|, like \[.*?\]", ""),
    (r", (\w+) = …$", lambda found: f", at “{FIELDS.get(found[1], found[1])}”"),
    (r"; write (\w+) = .*$", _see),
    (r" stands later in the file; write the work in the order it is done", " is done later; move one of them"),
)


def in_a_form(says: str) -> str:
    """A sentence of the reader, without keys, brackets and quotation marks of the text."""
    for pattern, instead in _SAID:
        says = re.sub(pattern, instead, says)
    return says
