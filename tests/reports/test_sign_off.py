"""The sign-off of some days as files and on the screen: what a foreman keeps, and what no spreadsheet runs."""

import csv
import io
import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from click.testing import CliRunner, Result

from torqueaudit.cli.main import cli
from torqueaudit.ledger.chain import head_of
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.shown.sign_off import Fact, SignOff
from torqueaudit.reports.sign_off.files import write_sign_off
from torqueaudit.reports.sign_off.page import sign_off_html, sign_off_pdf
from torqueaudit.reports.sign_off.table import sign_off_csv
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.sign_off.sign_off import sign_off_of, with_head

DAY = date(2031, 4, 1)


@pytest.fixture
def told(yard: Any) -> SignOff:
    """A clean job, one that left unsigned, and one with a stop conceded and an entry struck."""
    yard.clean(yard.vehicle("red tourer"))
    yard.left(yard.tightened(yard.vehicle("grey tourer")), released=False)
    conceded = yard.conceded(yard.vehicle("=cmd|' /C calc'!A1"), "2031-05-01")
    yard.mark(conceded, MarkState.INTACT)
    strike(yard.workshop, conceded, yard.workshop.book.head().sequence, "+1 told twice", Say("P-1"))
    return with_head(yard.workshop, sign_off_of(yard.workshop, DAY, DAY))


def rows(told: SignOff) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(sign_off_csv(told).decode("utf-8-sig"))))


def text_of(pdf: bytes) -> str:
    """What stands on its pages, in one line."""
    document = pypdfium2.PdfDocument(pdf)
    return " ".join(" ".join(each.get_textpage().get_text_range() for each in document).split())


def signed(path: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--book", str(path), "signed", *words])


def test_paper_says_what_stands_out_first_then_each_job(told: SignOff) -> None:
    """With the head of the ledger, by which it is held against the book, and a line for whoever looked it through."""
    says = text_of(sign_off_pdf(told))

    assert "Left, and not all signed for 2 Left with stops standing 2 Stops conceded 3 Entries struck 3" in says
    assert "Nobody checked front-axle. Job 2." in says
    assert "front-axle P-2, W-1, 2031-04-01 P-3, mark seen, 2031-04-01" in says
    assert "Limit: no more than 300 km." in says
    assert told.head in says
    assert "Looked through by" in says


def test_the_same_sign_off_is_the_same_paper(told: SignOff) -> None:
    assert sign_off_pdf(told) == sign_off_pdf(told)


def test_paper_says_how_many_jobs_it_has_no_room_for(told: SignOff) -> None:
    """What stands out is told of all of them."""
    says = text_of(sign_off_pdf(told, most=1))

    assert "2 more jobs did not fit on paper." in says
    assert "3 jobs" in says


def test_the_witness_line_above_stands_for_the_jobs_that_did_not_fit_too(told: SignOff) -> None:
    """Job 2 left unsigned; only job 1 is set in full."""
    page = sign_off_html(told, most=1)

    assert '<h2 class="disturbed"><span class="title">At a glance' in page
    assert "Job 2:" not in page


def test_days_of_which_nothing_can_be_read_are_not_told_to_be_empty(told: SignOff) -> None:
    """Nor is all of them told to be signed for, while a job is not read."""
    unread = told._replace(jobs=(), facts=(), unread=("Job 1 cannot be read (it is damaged).",))
    clean = told._replace(jobs=told.jobs[:1], facts=())
    lost = "Nothing was checked, released or handed over in these days.", "All of it is signed for"

    assert [False, False] == [says in sign_off_html(unread) for says in lost]
    assert [False, True] == [says in sign_off_html(clean) for says in lost]
    assert [False, False] == [says in sign_off_html(clean._replace(unread=unread.unread)) for says in lost]


def test_days_without_anything_say_so(yard: Any) -> None:
    """On paper too: nothing was signed for, and there is nothing to ask about."""
    yard.clock.now += timedelta(days=1)
    says = text_of(sign_off_pdf(sign_off_of(yard.workshop, DAY, DAY)))

    assert "Nothing was checked, released or handed over in these days." in says
    assert "There is nothing of this kind." in says


def test_a_table_has_a_row_for_everything_that_is_told(told: SignOff) -> None:
    """Of the job that is clean, in the order of the work; each with who, when and in which entry."""
    own = [row for row in rows(told) if row["job"] == "1"]

    expected = ["state", "opened", "tightened", "checked", "released", "handed over", "same-pair"]
    assert expected == [row["what"] for row in own]
    assert ["", "P-2", "P-2", "P-3", "P-1", "P-2", ""] == [row["by"] for row in own]
    assert {"2031-04-01"} == {row["from"] for row in own} == {row["to"] for row in own}
    assert all(row["entry"].isdecimal() for row in own[1:-1])


def test_a_table_runs_nothing_in_a_spreadsheet(told: SignOff) -> None:
    """A tag and a reason that look like formulas (OWASP, CSV injection)."""
    own = [row for row in rows(told) if row["job"] == "3"]

    assert {"'=cmd|' /C calc'!A1"} == {row["tag"] for row in own}
    assert not any(cell.lstrip().startswith(("=", "+", "@")) for row in rows(told) for cell in row.values())


def test_a_fact_has_a_row_for_each_of_its_jobs(told: SignOff) -> None:
    two = told._replace(facts=(Fact("same-pair", "P-2 and P-3.", ("1", "2")),))

    assert [("1", "P-2 and P-3."), ("2", "P-2 and P-3.")] == [
        (row["job"], row["says"]) for row in rows(two) if row["what"] == "same-pair"
    ]


def test_no_file_holds_a_name(told: SignOff, tmp_path: Path) -> None:
    """A file that is kept cannot be erased, so people are numbers in it."""
    written = write_sign_off(told, tmp_path)
    kept = [text_of(each.read_bytes()) if each.suffix == ".pdf" else each.read_text() for each in written]

    assert ["signed-2031-04-01-2031-04-01" + each for each in (".json", ".csv", ".pdf")] == [e.name for e in written]
    assert [] == [name for name in ("Adawen", "Borin", "Cyra") for each in kept if name in each]


def test_files_that_cannot_be_written_are_told_in_a_sentence(told: SignOff, tmp_path: Path) -> None:
    (tmp_path / "taken").write_text("a file")

    with pytest.raises(Refused, match="taken cannot be written: it is a file; name a folder"):
        write_sign_off(told, tmp_path / "taken")


def test_the_command_shows_days_and_writes_them(yard_of_late: Any, tmp_path: Path) -> None:
    """The head that it prints is that of the book; JSON is told alone."""
    yard = yard_of_late
    yard.left(yard.tightened(yard.vehicle("grey tourer")), released=False)
    day = str(yard.workshop.today())
    shown = signed(yard.path, "--from", day, "--to", day, "--out", str(tmp_path / "out"))
    data = json.loads(signed(yard.path, "--from", day, "--to", day, "--json").stdout)

    assert 0 == shown.exit_code
    assert shown.stdout.startswith(f"YARD, signed for from {day}\nLeft, and not all signed for: Job 1\n")
    assert "  front-axle: tightened by P-2, W-1, " in shown.stdout
    assert f"written: {tmp_path}/out/signed-{day}-{day}.pdf" in shown.stdout
    assert ["1"] == [each["job"] for each in data["jobs"]]
    assert yard.workshop.book.has(head_of(data["head"]))


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("--from", "2031-13-01"), 2, "2031-13-01: the calendar has no such day; look again"),
        (("--from", "2199-04-01"), 1, "2199-04-01 has not come yet; give today or an earlier day"),
    ],
)
def test_days_that_cannot_be_meant_are_refused_in_a_sentence(
    yard: Any, words: tuple[str, ...], code: int, says: str
) -> None:
    refused = signed(yard.path, *words)

    assert (code, True) == (refused.exit_code, says in refused.output)
