"""Signs that nobody sees in a text: which they are, what each is called, and how one is shown where it must be.

Controls, what turns the direction of reading, and what has no width: the two latter are Unicode's
Default_Ignorable_Code_Point, without the selectors that choose a form of the sign before them. The two joiners are
taken between signs beyond ASCII, where Persian words and joined emoji need them.
"""

import re

# Not compiled here: most texts are plain, and are asked nothing.
_HIDDEN = (
    "[\x00-\x1f\x7f-\x9f\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b\u200e\u200f\u2028-\u202e"
    "\u2060-\u206f\u3164\ud800-\udfff\ufdd0-\ufdef\ufeff\uffa0\ufff0-\ufffb\ufffe\uffff\U0001bca0-\U0001bca3"
    "\U0001d173-\U0001d17a\U000e0000-\U000e00ff\U000e01f0-\U000e0fff"
    f"{''.join(chr(plane * 0x10000 + last) for plane in range(1, 17) for last in (0xFFFE, 0xFFFF))}]"
    "|(?<![^\x00-\x7f])[\u200c\u200d]|[\u200c\u200d](?![^\x00-\x7f])"
)
_OF_LINES = "\t\n\r"
_NAMES = {
    "\x00": "null",
    "\t": "a tab",
    "\n": "a line end",
    "\r": "a carriage return",
    "\x1b": "escape",
    "\x7f": "delete",
}


def is_plain(text: str) -> bool:
    """Whether nothing can be hidden in a text, by a quick look."""
    return text.isascii() and text.isprintable()


def require_seen(text: str, what: str, *, lines: bool = False) -> None:
    """Refuse words with a sign that nobody sees. Raises ValueError with a sentence that begins with `what`.

    Line ends and tabs are taken in a text of several `lines`, and in no other.
    """
    if is_plain(text):
        return
    for found in re.finditer(_HIDDEN, text):
        sign, place = found[0], found.start() + 1
        if not (lines and sign in _OF_LINES):
            raise ValueError(f"{what}: sign {place} is {named(sign)}, which nobody sees; write it without")


def seen(text: str, *, lines: bool = False) -> str:
    """A text in which every sign that nobody sees is shown as what it is, "⟨U+202E⟩"."""
    if is_plain(text):
        return text
    return re.sub(_HIDDEN, lambda found: found[0] if lines and found[0] in _OF_LINES else spelt(found[0]), text)


def spelt(sign: str) -> str:
    """What stands for a sign that cannot be shown: "⟨U+202E⟩"."""
    return f"⟨{_point(sign)}⟩"


def named(sign: str) -> str:
    """A sign by its code point and its name: "U+202E (right-to-left override)"."""
    import unicodedata  # a megabyte, for a sign that hardly anybody writes

    if "\ud800" <= sign <= "\udfff":
        return f"{_point(sign)} (half a character)"
    unnamed = "a control sign" if sign < "\xa0" else "no character"
    name = _NAMES.get(sign) or unicodedata.name(sign, unnamed).casefold()
    return f"{_point(sign)} ({name})"


def _point(sign: str) -> str:
    return f"U+{ord(sign):04X}"
