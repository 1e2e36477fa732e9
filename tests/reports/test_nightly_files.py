"""The files of a night: one content in four forms, and what is left when one of them cannot be made."""

import csv
import json
import logging
import re
import stat
import zlib
from datetime import UTC, date, datetime
from html.parser import HTMLParser
from io import StringIO
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from torqueaudit.model.shown.night import Line, Night, NightSection
from torqueaudit.model.shown.section import Chart, ExtraSection
from torqueaudit.reports.data import harmless, nightly_csv
from torqueaudit.reports.errors import ReportRefused
from torqueaudit.reports.files import write_nightly
from torqueaudit.reports.html import nightly_html
from torqueaudit.reports.json.night import night_json
from torqueaudit.reports.json.values import json_file
from torqueaudit.reports.pdf import nightly_pdf, shortened
from torqueaudit.workshop.night.night import night_of

HEAD = "YARD/65/" + "4a30" * 16
WIDE = "\uff1d\uff0b\uff0d\uff20"  # = + - @ of East Asian keyboards
LATE = Line(
    job="12",
    vehicle="V-3",
    tag="red tourer",
    title="Front wheel",
    holds="wheel",
    says="Call it in.",
    days_late=9,
    metres_late=120_000,
)


def a_night(*lines: Line, demo: bool = False, extra: tuple[ExtraSection, ...] = ()) -> Night:
    """A night that holds these lines and was asked the next morning."""
    sections = (
        NightSection("could-not-audit", "Could not be audited", ()),
        NightSection("re-checks-missed", "Missed", lines),
    )
    asked_at = datetime(2031, 5, 2, 5, tzinfo=UTC)
    return Night(
        date=date(2031, 5, 1),
        site="YARD",
        demo=demo,
        sections=sections,
        head=HEAD,
        asked_at=asked_at,
        exit_code=1,
        sound=True,
        verified_in_full=date(2031, 4, 28),
        verified_to=1,
        judged_in_full=date(2031, 4, 28),
        rules=(),
        extra=extra,
    )


class Words(HTMLParser):
    """The text of a page as a reader sees it, and every tag in it."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:  # noqa: ARG002  # as inherited
        self.tags.append(tag)

    def handle_data(self, data: str) -> None:
        self.text += data


def pdf_text(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    try:
        return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in document).split())
    finally:
        document.close()


def unpacked(pdf: bytes) -> bytes:
    """Every stream of the file in plain bytes, and what stands outside of them."""
    streams = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL)
    return pdf + b"".join(zlib.decompress(each) if each.startswith(b"x") else each for each in streams)


def test_the_four_forms_say_the_same(yard: Any, tmp_path: Path) -> None:
    """Of a real book: every line's sentence and the head stand in each file."""
    yard.clean(yard.vehicle("red tourer"))
    yard.left(yard.tightened(yard.vehicle("courier"), "brake"), released=False)
    yard.conceded(yard.vehicle("scooter"), "2031-04-10")
    yard.day("2031-05-01")
    night = night_of(yard.workshop)
    files = write_nightly(night, tmp_path / "reports" / "nights")
    page, data, table = (path.read_text(encoding="utf-8") for path in files[:3])
    paper = pdf_text(files[3].read_bytes())
    says = [line.says for section in night.sections for line in section.lines]

    assert [f"nightly-2031-04-30.{end}" for end in ("html", "json", "csv", "pdf")] == [path.name for path in files]
    assert len(says) > 5
    assert table.startswith("\ufeff"), "else a spreadsheet shows an umlaut as two signs"
    for said in [*says, night.head]:
        assert said in Words(page).text
        assert said in json.dumps(json.loads(data), ensure_ascii=False)
        assert said in table
        assert set(re.findall(r"\w+", said)) <= set(re.findall(r"\w+", paper))
    assert {0o644} == {stat.S_IMODE(path.stat().st_mode) for path in files}


def test_json_holds_iso_dates_and_numbers_that_are_none_where_nothing_is_late() -> None:
    """As a program reads it."""
    content = json.loads(json_file(night_json(a_night(LATE, LATE._replace(days_late=None, metres_late=None)))))
    first, second = content["sections"][1]["lines"]

    assert (
        content["date"],
        content["asked_at"],
        content["exit_code"],
    ) == ("2031-05-01", "2031-05-02T05:00:00+00:00", 1)
    assert (
        first["days_late"],
        first["metres_late"],
        second["days_late"],
        second["metres_late"],
    ) == (9, 120_000, None, None)
    assert content["head"] == HEAD


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", *WIDE])
def test_a_cell_never_runs_in_a_spreadsheet(start: str) -> None:
    """A remark that a spreadsheet would take for a formula is made text (the starts are those OWASP lists)."""
    night = a_night(LATE._replace(says=f"{start}HYPERLINK(A1)", tag=f"{start}1"))
    rows = list(csv.DictReader(StringIO(nightly_csv(night))))

    assert (f"'{start}HYPERLINK(A1)", f"'{start}1") == (rows[0]["says"], rows[0]["tag"])
    assert harmless("axle nut - 98 N·m") == "axle nut - 98 N·m"


@pytest.mark.parametrize("sign", "=+-@" + WIDE)
@pytest.mark.parametrize("before", ["", *" \u00a0\u3000", *(f"x{end}" for end in ';",|\t\n'), "x; ", 'x";"', "\ufeff"])
@pytest.mark.parametrize("separator", ",;\t|")
def test_no_cell_runs_whatever_a_spreadsheet_takes_for_a_separator(before: str, sign: str, separator: str) -> None:
    """The whole file is read with the separator of another country, and no cell of it begins a formula."""
    table = nightly_csv(a_night(LATE._replace(says=f"{before}{sign}HYPERLINK(A1)")))
    quoted = csv.reader(StringIO(table), delimiter=separator)
    bare = csv.reader(StringIO(table), delimiter=separator, quoting=csv.QUOTE_NONE)
    cells = [cell.strip(' \u00a0\u3000\ufeff"') for row in (*quoted, *bare) for cell in row]

    assert [cell for cell in cells if cell.startswith(("=", "+", "-", "@", *WIDE))] == []
    assert any("HYPERLINK(A1)" in cell for cell in cells)


def test_numbers_of_ours_stay_numbers_in_a_table() -> None:
    """Days and metres of a re-check, also one that is early by days."""
    rows = list(csv.DictReader(StringIO(nightly_csv(a_night(LATE._replace(days_late=-3))))))

    assert ("-3", "120000") == (rows[0]["days_late"], rows[0]["metres_late"])


def test_a_plugins_picture_is_its_text_in_every_form() -> None:
    """A report is read, printed and mailed; the numbers are in its JSON."""
    chart = Chart(title="Wear", says="Wear grows by 0.1 %.", x_name="km", y_name="%", points=((0, 1),), limit=2)
    night = a_night(LATE, extra=(ExtraSection("Chains", ("Two are worn.",), chart=chart),))
    rows = list(csv.DictReader(StringIO(nightly_csv(night))))

    assert ["Two are worn.", "Wear grows by 0.1 %."] == [row["says"] for row in rows[1:3]]
    assert "Wear grows by 0.1 %." in Words(nightly_html(night)).text
    drawn = night_json(night)["extra"][0]["chart"]
    assert ([[0, 1]], 2, "km") == (drawn["points"], drawn["limit"], drawn["x_name"])


def test_a_plugins_table_is_in_every_form() -> None:
    """Its sentences, its columns and its rows."""
    night = a_night(LATE, extra=(ExtraSection("Chains", ("Two are worn.",), ("Vehicle", "Wear"), (("V-9", "=3 %"),)),))
    rows = list(csv.DictReader(StringIO(nightly_csv(night))))
    text = Words(nightly_html(night)).text

    assert [(row["section"], row["says"]) for row in rows[1:3]] == [
        ("Chains", "Two are worn."),
        ("Chains", "Vehicle: V-9; Wear: =3 %"),
    ]
    for word in ("Chains", "Two are worn.", "Vehicle", "Wear", "V-9", "=3 %"):
        assert word in text
        assert word in pdf_text(nightly_pdf(night))


def test_words_from_the_book_never_become_markup() -> None:
    """A tag that looks like a script is shown as it was written."""
    hostile = "<script>alert(1)</script><img src=file:///etc/hostname>"
    night = a_night(LATE._replace(tag=hostile, says=hostile, title=hostile))
    words = Words(nightly_html(night))

    assert not {"script", "img", "link", "a"} & set(words.tags)
    assert words.text.count("<script>alert(1)</script>") == 3
    assert "<script>" in pdf_text(nightly_pdf(night))


def test_every_form_of_the_report_comes_with_half_a_character(tmp_path: Path) -> None:
    """No file can hold it: JSON escapes it, the others say its number."""
    files = write_nightly(a_night(LATE._replace(says="Call \ud800 in.")), tmp_path)
    page, data, table = (path.read_text(encoding="utf-8") for path in files[:3])

    assert "Call ⟨U+D800⟩ in." in page
    assert json.loads(data)["sections"][1]["lines"][0]["says"] == "Call \ud800 in."
    assert "Call ⟨U+D800⟩ in." in table
    assert "Call ⟨U+D800⟩ in." in pdf_text(files[3].read_bytes())


def test_a_page_shows_what_would_turn_its_words_around() -> None:
    """An override of the direction of reading in a tag."""
    page = nightly_html(a_night(LATE._replace(tag="red \u202egpj")))

    assert "red ⟨U+202E⟩gpj" in page


def test_the_page_needs_no_other_file() -> None:
    """No address in it, so it opens from a mail or a stick as it does from the folder."""
    page = nightly_html(a_night(LATE))

    assert re.findall(r"url\(|https?:|@import|src=|href=", page) == []


def test_the_pdf_is_tagged_and_rendered_without_a_word_from_the_renderer(caplog: pytest.LogCaptureFixture) -> None:
    """PDF/UA-1 as the file declares it (ISO 14289-1, 5: pdfuaid:part), and no warning of a style it did not know."""
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        pdf = nightly_pdf(a_night(LATE, demo=True))

    assert caplog.messages == []
    document = pypdfium2.PdfDocument(pdf)
    assert pypdfium2.raw.FPDFCatalog_IsTagged(document.raw)
    document.close()
    assert re.search(rb'<pdfuaid:part>1</pdfuaid:part>|pdfuaid:part="1"', unpacked(pdf))
    assert b"/Lang (en)" in unpacked(pdf)
    assert "Demo: an invented workshop." in pdf_text(pdf)


def test_the_same_night_gives_the_same_pdf() -> None:
    """Byte for byte, so that a report kept on paper can be made again and compared."""
    assert nightly_pdf(a_night(LATE)) == nightly_pdf(a_night(LATE))


def test_paper_ends_after_five_hundred_rows_and_says_so() -> None:
    """Six hundred lines: the PDF holds the first five hundred, and tells where the rest stands."""
    lines = [LATE._replace(job=str(number), says=f"Call number {number}.") for number in range(1, 601)]
    night = a_night(*lines, extra=(ExtraSection("Chains", (), ("Vehicle",), (("V-9",),)),))
    short, left_out = shortened(night, 500)
    text = pdf_text(nightly_pdf(night))

    assert (len(short.sections[1].lines), left_out) == (500, 101)
    assert short.extra[0].rows == ()
    assert "Call number 500." in text
    assert "Call number 501." not in text
    assert "101 more lines did not fit on paper." in text
    assert "Call number 600." in nightly_csv(night)


def test_a_folder_that_is_a_file_is_refused_with_its_name(tmp_path: Path) -> None:
    """One sentence, and the file stays as it was."""
    target = tmp_path / "nights"
    target.write_text("mine", encoding="utf-8")
    with pytest.raises(ReportRefused, match=f"{target} cannot be written") as refused:
        write_nightly(a_night(LATE), target)

    assert refused.value.written == ()
    assert target.read_text(encoding="utf-8") == "mine"


def test_no_half_written_file_is_left(tmp_path: Path) -> None:
    """A folder stands where the CSV belongs: HTML and JSON are kept, and nothing lies about under another name."""
    (tmp_path / "nightly-2031-05-01.csv").mkdir()
    with pytest.raises(ReportRefused) as refused:
        write_nightly(a_night(LATE), tmp_path)

    assert [path.name for path in refused.value.written] == ["nightly-2031-05-01.html", "nightly-2031-05-01.json"]
    assert len(list(tmp_path.iterdir())) == 3
