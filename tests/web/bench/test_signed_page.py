"""The foreman's page of what was signed for: by days that are typed, with the way to each job; as PDF and CSV."""

import csv
import io
from codecs import BOM_UTF8
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from .phone import LetIn

AXLE = Path(__file__).parents[3] / "torqueaudit" / "testing" / "axle.toml"


@pytest.fixture
def desk(let_in: LetIn, yard: Any) -> Any:
    """The foreman's, after one job that was released and has left."""
    job = yard.open(AXLE)
    yard.work(job)
    yard.leave(job)
    return let_in().sign_in(yard.foreman)


def test_a_foreman_opens_last_week_and_a_mechanic_finds_no_way_there(desk: Any, let_in: LetIn, yard: Any) -> None:
    """A week later it is the one that was asked for; whoever works beside them is told nothing of it."""
    yard.later(days=7)
    told = desk.sign_in(yard.foreman).open("bench").follow("What was signed for last week").text
    mechanic = let_in("second").sign_in(yard.mechanic)

    assert "1 job" in told
    assert "Tightened by: P-2" in told
    assert "What was signed for" not in mechanic.open("bench").text
    assert 403 == mechanic.asked_for("/signed", "GET")


def test_the_page_leads_to_the_job_and_to_its_motorcycle(desk: Any, yard: Any) -> None:
    day = yard.workshop.today()
    tag = yard.workshop.vehicle(yard.vehicle).tag
    page = desk.open(f"signed?from={day}&to={day}")

    assert page.follow("All of job 1").address.endswith("/job/1/work")
    assert page.open(f"signed?from={day}&to={day}").follow(f"{tag} (V-1)").address.endswith("/vehicle/V-1")


def test_people_are_numbers_with_their_names_beside(desk: Any, yard: Any) -> None:
    """Of whoever is forgotten the number is left."""
    day, person = yard.workshop.today(), f"person/{yard.mechanic}"
    name = yard.workshop.book.personal_of(person)["name"]
    before = desk.open(f"signed?from={day}&to={day}").text
    yard.workshop.book.forget(person)
    after = desk.open(f"signed?from={day}&to={day}").text

    assert f"P-2 {name}" in before
    assert [True, False] == ["Tightened by: P-2" in after, name in after]


def test_days_that_cannot_be_meant_are_told_and_stay_typed(desk: Any) -> None:
    """With last week below, so that the page is of use all the same."""
    answer = desk.open("signed?from=2199-01-01&to=2199-01-02")

    assert 422 == answer.status
    assert "2199-01-01 has not come yet; give today or an earlier day." in answer.text
    assert 'value="2199-01-01"' in answer.html


@pytest.mark.parametrize("ending", ["", ".pdf", ".csv"])
def test_what_is_no_day_is_refused_in_a_sentence(desk: Any, ending: str) -> None:
    answer = desk.open(f"signed{ending}?from=tomorrow")

    assert answer.status in (404, 422)
    assert "omorrow: write a date as 2031-04-02." in answer.text


def test_the_same_is_given_on_paper_and_as_a_table(desk: Any, yard: Any) -> None:
    """Without any name, for nobody can erase one there."""
    day = yard.workshop.today()
    paper, table = (desk.open(f"signed.{ending}?from={day}&to={day}").body for ending in ("pdf", "csv"))
    says = pypdfium2.PdfDocument(paper)[0].get_textpage().get_text_range()
    rows = list(csv.DictReader(io.StringIO(table.decode())))

    assert "Job 1: Rear axle nut" in says
    assert str(yard.workshop.book.head()) in says.replace("\r\n", "")
    assert ["state", "opened", "tightened"] == [row["what"] for row in rows][:3]
    assert BOM_UTF8 == table[:3], "else a spreadsheet shows an umlaut as two signs"


def test_each_bolt_of_a_group_is_counted(let_in: LetIn, yard: Any, procedures: Path) -> None:
    """Front wheel: 6 disc bolts, the axle, 2 pinch bolts and 2 caliper bolts; those alike are told in one line."""
    job = yard.open(procedures / "front-wheel.toml")
    yard.work(job)
    day = yard.workshop.today()

    assert "11 fasteners: who tightened, who checked" in let_in().sign_in(yard.foreman).open(f"signed?from={day}").text
