"""The checkpoint's QR symbol: two readers of others give the signed note back, to the letter."""

import logging
import re
from datetime import UTC, date, datetime
from html import unescape

import cv2
import numpy as np
import pypdfium2
import pytest
import zxingcpp
from PIL import Image, ImageDraw

from torqueaudit.ledger.chain import Head
from torqueaudit.ledger.checkpoint import Checkpoint
from torqueaudit.ledger.note import signed
from torqueaudit.model.shown.night import Night, NightSeal, NightSection
from torqueaudit.reports.html import nightly_html
from torqueaudit.reports.pdf import nightly_pdf
from torqueaudit.reports.symbol import text_symbol

SEALED = Checkpoint(Head("YARD-2", 1234567, "ab" * 32), bytes(range(32)), "2031-04-02T02:15:00Z")
NOTE = str(signed(SEALED.text, SEALED.name, bytes(32)))


def drawn(svg: str, dots: int = 4) -> Image.Image:
    """The drawing as dots, from its viewBox and its path of rectangles one module high."""
    side = int(svg.partition('viewBox="0 0 ')[2].partition(" ")[0])
    picture = Image.new("L", (side * dots, side * dots), 255)
    draw = ImageDraw.Draw(picture)
    for run in svg.partition('<path d="M')[2].partition('z"')[0].split("zM"):
        left, row, width = (int(number) for number in run.partition("v")[0].replace("h", " ").split())
        draw.rectangle((left * dots, row * dots, (left + width) * dots - 1, row * dots + dots - 1), fill=0)
    return picture


def test_two_readers_read_the_note() -> None:
    """With its dash beyond ASCII and its line ends."""
    picture = drawn(text_symbol(NOTE, "a title"))
    (first,) = zxingcpp.read_barcodes(picture)
    second, _, _ = cv2.QRCodeDetector().detectAndDecode(np.asarray(picture))

    assert NOTE == first.text
    assert NOTE == second


def test_a_symbol_with_one_stroke_through_it_is_read_all_the_same() -> None:
    """Level M puts up with some damage; with half of it gone nothing is read."""
    picture = drawn(text_symbol(NOTE, "a title"))
    wide = picture.width
    ImageDraw.Draw(picture).line((0, wide // 2, wide, wide // 2 + 40), fill=255, width=8)
    (read,) = zxingcpp.read_barcodes(picture)
    ImageDraw.Draw(picture).rectangle((0, wide // 2, wide, wide), fill=255)

    assert NOTE == read.text
    assert not zxingcpp.read_barcodes(picture)


def test_the_title_never_becomes_markup() -> None:
    """It is what somebody who sees no picture is told."""
    assert "<title>a &lt;b&gt; c</title>" in text_symbol("x", "a <b> c")


def sealed_night() -> Night:
    """A night without a line, sealed."""
    at = datetime(2031, 4, 2, 4, 15, tzinfo=UTC)
    return Night(
        date=date(2031, 4, 1),
        site="YARD-2",
        demo=False,
        sections=(NightSection("could-not-audit", "Could not be audited", ()),),
        head=str(SEALED.head),
        asked_at=at,
        exit_code=0,
        judged_in_full=None,
        sound=True,
        verified_in_full=None,
        verified_to=0,
        rules=(),
        seal=NightSeal(note=NOTE, size=SEALED.size, key_id="1a2b3c4d", sealed_at=at),
    )


def test_the_note_stands_on_the_page_as_text_and_as_symbol(caplog: pytest.LogCaptureFixture) -> None:
    """On paper too, where the symbol is read at 200 dots an inch; nothing is fetched for it and nothing warned of."""
    page = nightly_html(sealed_night())
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        document = pypdfium2.PdfDocument(nightly_pdf(sealed_night()))
    try:
        pictures = [sheet.render(scale=200 / 72).to_pil() for sheet in document]
        text = "".join("".join(sheet.get_textpage().get_text_bounded().split()) for sheet in document)
    finally:
        document.close()

    assert NOTE in unescape(page)
    assert "".join(NOTE.split()) in text
    assert [NOTE] == [code.text for picture in pictures for code in zxingcpp.read_barcodes(picture)]
    assert "<title>The checkpoint as a QR code</title>" in page
    assert [] == re.findall(r"url\(|https?:|@import|src=|href=", page) == caplog.messages


def test_a_night_that_was_not_sealed_shows_no_checkpoint() -> None:
    """Neither a heading nor an empty frame."""
    page = nightly_html(sealed_night()._replace(seal=None))

    assert "Checkpoint" not in page
    assert "<svg" not in page
