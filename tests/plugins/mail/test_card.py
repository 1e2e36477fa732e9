"""A reminder on paper: one side of A6, in an owner's words, with a code that opens the page of the motorcycle."""

from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from click.testing import CliRunner, Result

from torqueaudit.cli.main import cli
from torqueaudit.plugin import Safety
from torqueaudit.plugin.commands import Workshop, play, reminder_of_job, show_job
from torqueaudit_plugins.mail.page import card_of

PAINTED = (
    "5 × rear sprocket bolt",
    "rear caliper carrier bolt",
    "brake torque arm bolt",
    "front sprocket nut",
    "chain adjuster lock nut, left",
    "chain adjuster lock nut, right",
    "rear axle nut",
)
LEFT = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
"""


def card(book: Path, out: Path) -> Result:
    return CliRunner().invoke(cli, ["--book", str(book), "card", "1", "--out", str(out)])


def test_a_card_says_when_to_come_back_and_what_to_look_at(workshop: Workshop, book_file: Path, tmp_path: Path) -> None:
    """ISO 216: A6 is 148 mm by 105 mm. zxing-cpp reads the code, pdfium the words."""
    play(workshop, LEFT)
    told = card(book_file, tmp_path / "card.pdf")
    pdf = pypdfium2.PdfDocument(tmp_path / "card.pdf")
    try:
        sides, size = len(pdf), [round(each * 25.4 / 72) for each in pdf[0].get_size()]
        text = " ".join(pdf[0].get_textpage().get_text_bounded().split())
        (code,) = zxingcpp.read_barcodes(pdf[0].render(scale=3).to_pil())
    finally:
        pdf.close()

    assert (0, f"written: {tmp_path / 'card.pdf'}\n") == (told.exit_code, told.stdout), told.output
    assert (1, [148, 105]) == (sides, size)
    assert code.text.endswith(f"/r/{show_job(workshop, '1').token}")
    for sentence in (
        "Come back by ",
        "Then do not ride. Call us.",
        "Loosen and tighten nothing.",
        "manual comes first.",
    ):
        assert sentence in text
    for inside in ("N·m", "P-2", "W-1", "V-1"):
        assert inside not in text


def test_a_card_has_one_side_where_much_is_said(workshop: Workshop) -> None:
    """A chain's eleven painted fasteners, on the day, in a demo: both drawn lines stand beside what they mean."""
    play(workshop, LEFT)
    reminder = reminder_of_job(workshop, "1")
    due = "It is time for the re-check. Ride to us, and make no tour before it."
    view = reminder.view._replace(
        demo=True, safety=Safety.COME_BACK, says=due, marks=PAINTED, telephone="+44 1632 960123"
    )
    pdf = pypdfium2.PdfDocument(card_of(reminder._replace(view=view)))
    sides, text = len(pdf), " ".join(pdf[0].get_textpage().get_text_bounded().split())
    pdf.close()

    assert 1 == sides
    assert "Only look. Loosen and tighten nothing." in text


@pytest.mark.parametrize(
    ("more", "name", "code", "says"),
    [
        ("2031-04-03 09:00 re-check refused: no time by P-2", "card.pdf", 1, "job 1: nobody waits for its owner ("),
        ("", "card.png", 2, "a card is a PDF; write it as "),
    ],
)
def test_no_card_is_made_that_is_none(  # fixtures
    workshop: Workshop, book_file: Path, tmp_path: Path, more: str, name: str, code: int, says: str
) -> None:
    """One sentence, and nothing is left behind."""
    play(workshop, LEFT + more)
    told = card(book_file, tmp_path / name)

    assert code == told.exit_code
    assert says in told.stderr
    assert not (tmp_path / name).exists()
