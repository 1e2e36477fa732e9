"""Signs that nobody sees: which they are is held against the Unicode Character Database that Python brings."""

import sys
import unicodedata

import pytest

from torqueaudit.signs import require_seen, seen, spelt

# Format characters that have a shape of their own (UAX 44, Prepended_Concatenation_Mark, and Egyptian joiners).
SHAPED = {*range(0x600, 0x606), 0x6DD, 0x70F, 0x890, 0x891, 0x8E2, 0x110BD, 0x110CD, *range(0x13430, 0x13456)}
JOINERS = {0x200C, 0x200D}


def hides(sign: str) -> bool:
    """Whether a sign between two others beyond ASCII is shown as its number."""
    return seen(f"ü{sign}ü") == f"ü{spelt(sign)}ü"


def test_every_control_and_every_format_sign_hides() -> None:
    """Of all code points those of the categories Cc, Cf, Cs, Zl and Zp; two joiners and what has a shape are seen."""
    hidden = {
        point
        for point in range(sys.maxunicode + 1)
        if unicodedata.category(chr(point)) in {"Cc", "Cf", "Cs", "Zl", "Zp"} and point not in SHAPED | JOINERS
    }

    assert len(hidden) > 2200
    assert {point for point in hidden if not hides(chr(point))} == set()


def test_letters_marks_digits_punctuation_symbols_and_spaces_are_seen() -> None:
    """But for fillers, which Unicode lists among Default_Ignorable_Code_Point and which have no shape (from memory)."""
    fillers = {0x34F, 0x115F, 0x1160, 0x17B4, 0x17B5, *range(0x180B, 0x1810), 0x3164, 0xFFA0}
    wrong = {
        point
        for point in range(sys.maxunicode + 1)
        if unicodedata.category(chr(point))[0] in "LMNPS" and point not in fillers and hides(chr(point))
    }

    assert wrong == set()
    assert {point for point in fillers if not hides(chr(point))} == set()
    assert [hides(sign) for sign in (" ", "\u00a0", "\u3000", "\ue000", "\ufe0f")] == [False] * 5


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("a\x00b", "remark: sign 2 is U+0000 (null), which nobody sees; write it without"),
        ("two\nlines", "remark: sign 4 is U+000A (a line end), which nobody sees; write it without"),
        ("\x1b[31m", "remark: sign 1 is U+001B (escape), which nobody sees; write it without"),
        ("c\x85", "remark: sign 2 is U+0085 (a control sign), which nobody sees; write it without"),
        ("a\u202egpj", "remark: sign 2 is U+202E (right-to-left override), which nobody sees; write it without"),
        ("a\u2066b", "remark: sign 2 is U+2066 (left-to-right isolate), which nobody sees; write it without"),
        ("re\u200bd", "remark: sign 3 is U+200B (zero width space), which nobody sees; write it without"),
        ("l\u2028", "remark: sign 2 is U+2028 (line separator), which nobody sees; write it without"),
        ("k\udcff", "remark: sign 2 is U+DCFF (half a character), which nobody sees; write it without"),
        ("k\uffff", "remark: sign 2 is U+FFFF (no character), which nobody sees; write it without"),
        ("W\u200d1", "remark: sign 2 is U+200D (zero width joiner), which nobody sees; write it without"),
    ],
)
def test_words_with_a_sign_that_nobody_sees_are_refused_by_its_number_and_place(text: str, says: str) -> None:
    """One sentence names what it is about, the place, the code point and its name."""
    with pytest.raises(ValueError, match="nobody sees") as refused:
        require_seen(text, "remark")

    assert says == str(refused.value)


def test_a_joiner_is_taken_where_a_script_needs_it() -> None:
    """A Persian word with its non-joiner, two people joined, and a heart with its selector."""
    for text in ("\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645", "👨\u200d👩", "❤️", "zwei Zeichen: ä"):
        require_seen(text, "remark")
        assert text == seen(text)


def test_a_text_of_lines_keeps_its_lines() -> None:
    """Tabs and line ends stand in a text of several lines, and other controls do not."""
    require_seen("one\r\n\ttwo\n", "text", lines=True)

    assert seen("one\n\x07", lines=True) == "one\n⟨U+0007⟩"
    with pytest.raises(ValueError, match="U\\+0007"):
        require_seen("one\n\x07", "text", lines=True)
