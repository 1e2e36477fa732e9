"""Whatever sign stands on a page, the page is set, and says which sign it was."""

import os
import subprocess
import sys
from importlib import resources
from io import BytesIO
from pathlib import Path

import pypdfium2
import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen

from torqueaudit.typesetting import Handed, NotSet, set_page

PAGE = """<!doctype html><html lang="en"><title>Signs</title><style>
@font-face {{ font-family: Own; font-weight: 400; src: url("test:DejaVuSans.ttf") }}
@font-face {{ font-family: Own; font-weight: 700; src: url("test:DejaVuSans-Bold.ttf") }}
body {{ font-family: Own }}
</style><p>{says}<p><b>{says}</b></html>"""
FONTS = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>{folder}</dir><cachedir>{folder}/cache</cachedir></fontconfig>
"""
SIGNS = {
    "emoji": "\U0001fae0",
    "flag": "\U0001f1e6\U0001f1f9",
    "Chinese": "中",
    "Korean": "한",
    "Thai": "ก",
    "private": "\ue000",
    "unassigned": "\U0010fffd",
    "half a character": "\ud800",
    "null": "\x00",
    "bell": "\x07",
    "escape": "\x1b",
    "next line": "\x85",
    "override": "\u202e",
    "no width": "\u200b",
    "line separator": "\u2028",
    "none": "\uffff",
}


def bundled(name: str) -> bytes:
    return (resources.files("torqueaudit_labels") / "fonts" / name).read_bytes()


def set_text(says: str, page: str = PAGE) -> str:
    """What is read of a page that says this, once in regular and once in bold type."""
    pdf = set_page(page.format(says=says), "test", lambda name: Handed(bundled(name), "font/ttf"))
    document = pypdfium2.PdfDocument(pdf)
    try:
        return " ".join(document[0].get_textpage().get_text_bounded().split())
    finally:
        document.close()


@pytest.fixture
def fonts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The folder of all fonts of this system: it has the bundled one alone."""
    folder = tmp_path / "fonts"
    folder.mkdir()
    (folder / "sans.ttf").write_bytes(bundled("DejaVuSans.ttf"))
    (tmp_path / "fonts.conf").write_text(FONTS.format(folder=folder), encoding="utf-8")
    monkeypatch.setenv("FONTCONFIG_FILE", str(tmp_path / "fonts.conf"))
    return folder


def font_of(signs: str) -> bytes:
    """A font that has these signs, each as a square, and no other."""
    pen = TTGlyphPen(None)
    pen.moveTo((100, 0))
    for corner in ((100, 800), (900, 800), (900, 0)):
        pen.lineTo(corner)
    pen.closePath()
    builder = FontBuilder(1000, isTTF=True)
    square, names = pen.glyph(), {ord(sign): f"square{ord(sign)}" for sign in signs}
    builder.setupGlyphOrder([".notdef", *names.values()])
    builder.setupCharacterMap(names)
    builder.setupGlyf({".notdef": TTGlyphPen(None).glyph(), **dict.fromkeys(names.values(), square)})
    builder.setupHorizontalMetrics(dict.fromkeys([".notdef", *names.values()], (1000, 100)))
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Invented Square", "styleName": "Regular"})
    builder.setupOS2(sTypoAscender=800, usWinAscent=800, usWinDescent=200)
    builder.setupPost()
    file = BytesIO()
    builder.save(file)
    return file.getvalue()


@pytest.mark.usefixtures("fonts")
@pytest.mark.parametrize("name", SIGNS)
def test_a_sign_that_no_font_has_is_set_as_its_number(name: str) -> None:
    """In regular and in bold type; what stands beside it is set as ever."""
    spelt = "".join(f"⟨U+{ord(each):04X}⟩" for each in SIGNS[name])

    assert f"Call {spelt} in. Call {spelt} in." == set_text(f"Call {SIGNS[name]} in.")


def test_a_font_of_the_system_sets_what_the_bundled_one_lacks(fonts: Path) -> None:
    """Beside a sign that no font has."""
    (fonts / "square.ttf").write_bytes(font_of("中 "))

    assert set_text("Call 中 or 한 in.").startswith("Call 中 or ⟨U+D55C⟩ in.")


def test_a_font_of_the_system_without_a_space_keeps_no_page_from_being_set(fonts: Path) -> None:
    """The space beside its sign would be taken from it too: the page is set in the bundled font alone."""
    (fonts / "square.ttf").write_bytes(font_of("中"))

    assert set_text("Call 中 in.").startswith("Call ⟨U+4E2D⟩ in.")


def test_a_font_of_the_system_that_is_broken_keeps_no_page_from_being_set(fonts: Path) -> None:
    """Half of a font lies there: its sign is set as its number."""
    whole = font_of("中")
    (fonts / "half.ttf").write_bytes(whole[: len(whole) // 2])

    assert set_text("Call 中 in.").startswith("Call ⟨U+4E2D⟩ in.")


@pytest.mark.usefixtures("fonts")
def test_a_page_with_a_fault_of_its_own_is_not_set() -> None:
    """A style that the renderer does not know is told, whatever sign stands beside it."""
    for says in ("Call it in.", "Call 中 in."):
        with pytest.raises(NotSet, match="not set cleanly: Ignored `colour"):
            set_text(says, PAGE.replace("body {{", "body {{ colour: red;"))


FULL = """
import resource, sys
from torqueaudit.typesetting import Handed, NotSet, set_page
font = open(sys.argv[1], "rb").read()
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
try:
    set_page(sys.argv[2], "test", lambda name: Handed(font, "font/ttf"))
except NotSet as error:
    print(error)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="there is no such limit")
def test_a_disk_that_takes_no_font_is_told_by_its_place(tmp_path: Path) -> None:
    """The renderer writes it for the system to read; it is no fault of what was printed, nor a lost answer."""
    font = tmp_path / "font.ttf"
    font.write_bytes(bundled("DejaVuSans.ttf"))
    words = [sys.executable, "-c", FULL, str(font), PAGE.format(says="one")]
    done = subprocess.run(
        words, capture_output=True, text=True, env={**os.environ, "TMPDIR": str(tmp_path)}, check=False
    )

    assert (0, "") == (done.returncode, done.stderr)
    assert (
        f"the page was not set: {tmp_path}, where its fonts lie for that long, does not take them (File too large); "
        "free some space there, or name another folder in TMPDIR\n" == done.stdout
    )
