"""Motorcycles on the pages of the office: entered, put right, and gone."""

from pathlib import Path
from typing import Any

from torqueaudit.model.act import Say
from torqueaudit.workshop.vehicles.vehicle import add_vehicle


def entries(yard: Any, number: str) -> list[Any]:
    """What was recorded of a motorcycle."""
    return list(yard.workshop.book.entries(f"vehicle/{number}"))


def test_one_is_entered_once_and_its_owner_outside_the_record(desk: Any, yard: Any) -> None:
    """The same form sent again makes no second one; another of the same name is told."""
    desk.open("office/motorcycles").follow("Enter a new one")
    (form, button), page = desk.form_of("Enter it"), desk.address
    typed = {"tag": "Heron 300, red", "model": "Heron 300", "year": "2029", "plate": "X-AB 34", "instrument": "mi"}
    for _ in range(2):
        desk.address = page
        desk.send(form, button, typed)
        assert (200, True) == (desk.status, "V-2 Heron 300, red is entered." in desk.text)
    (entered,) = entries(yard, "V-2")

    assert {"tag": "Heron 300, red", "model": "Heron 300", "year": 2029, "instrument": "mi"} == entered.said
    assert {"plate": "X-AB 34"} == yard.workshop.book.personal_of("vehicle/V-2")
    assert "X-AB 34" not in desk.page
    desk.open("motorcycle/new").tap("Enter it", tag="Heron 300, red", model="Heron 300")
    assert "V-2 is called so too." in desk.text


def test_what_is_refused_is_said_at_its_field(desk: Any, yard: Any) -> None:
    """A year that is none; what was typed stays."""
    desk.open("motorcycle/new").tap("Enter it", tag="Heron 300", model="Heron 300", year="29")
    assert (422, True) == (desk.status, 'id="enter-year-wrong">29: a year of manufacture' in desk.page)
    assert 'value="Heron 300"' in desk.page
    assert [] == entries(yard, "V-2")


def test_one_is_put_right_and_its_jobs_are_judged_anew(desk: Any, yard: Any, procedures: Path) -> None:
    """A model that the sources of its job do not hold for is a stop, which the page says."""
    yard.open(procedures / "front-wheel.toml")
    desk.open("office/motorcycle/V-1").tap("Put it right", model="Heron 300")
    assert (200, {"model": "Heron 300"}) == (desk.status, entries(yard, "V-1")[-1].said)
    assert "A stop on job 1:" in desk.text
    desk.tap("Put it right")
    assert (422, True) == (desk.status, "nothing of this is new" in desk.text)


def test_one_that_will_not_come_back(desk: Any, yard: Any) -> None:
    """With why; one that has left already."""
    desk.open("office/motorcycle/V-1").tap("It will not come back", why="scrapped")
    assert (200, "gone") == (desk.status, entries(yard, "V-1")[-1].what), desk.text


def test_a_false_arrival_is_taken_back(desk: Any, yard: Any) -> None:
    """With the reason; then nothing is left to take back."""
    yard.arrive()
    arrived = entries(yard, "V-1")[-1]
    desk.open("office/motorcycle/V-1")
    assert "2031-04-02: it arrived (P-1)" in desk.text
    desk.tap("Take it back", entry=str(arrived.sequence), why="it was another motorcycle")
    assert (200, arrived.sequence) == (desk.status, entries(yard, "V-1")[-1].said["entry"])
    assert "Take it back" not in desk.text


def test_the_newest_are_listed_and_the_others_are_found(desk: Any, yard: Any) -> None:
    """However many there are."""
    for number in range(31):
        add_vehicle(yard.workshop, f"Heron {number}", "Heron 300", 2029, {}, Say("P-1"))
    desk.open("office/motorcycles")
    assert (True, False) == ("V-32 Heron 30" in desk.text, "V-2 Heron" in desk.text)
    assert "Any other is found below" in desk.text


def test_a_mechanic_enters_one_from_the_bench_and_opens_no_office(desk: Any, yard: Any) -> None:
    """As the tables of access and of permits say; nothing of the page leads to the office."""
    desk.sign_in("P-2").open("bench").follow("Enter a new motorcycle")
    desk.tap("Enter it", tag="Heron 300, red", model="Heron 300").follow("Go to V-2")
    assert (200, "P-2") == (desk.status, entries(yard, "V-2")[0].who)
    assert "office" not in desk.open("motorcycle/new").page
    assert 403 == desk.open("office/motorcycles").status
