"""What the first page of the bench says to whoever is signed in."""

from datetime import datetime, timedelta
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from torqueaudit.book import last_night
from torqueaudit.model.act import Say
from torqueaudit.model.vehicle.acts import VehicleChange
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.vehicles.corrections import change_vehicle

from .phone import LetIn

AXLE = Path(__file__).parents[3] / "torqueaudit" / "testing" / "axle.toml"
SAYS = "The last night that was audited is that of {day}; 3 nights since were not. Look why, and audit them."


def test_a_foreman_is_told_of_nights_that_were_not_audited_and_a_mechanic_is_not(
    let_in: LetIn, book: Path, yard: Any, clock: list[datetime]
) -> None:
    """It is the foreman who has it looked into; once a night was audited the page says nothing of it."""
    today = yard.workshop.today()
    day = today - timedelta(days=4)
    last_night.keep(book, day, clock[0])
    phone = let_in()
    pages = [phone.sign_in(who).open("bench").text for who in (yard.foreman, yard.mechanic)]

    assert [True, False] == [SAYS.format(day=day) in page for page in pages]


def test_a_night_that_was_made_up_for_is_missing_no_longer(
    let_in: LetIn, book: Path, yard: Any, clock: list[datetime]
) -> None:
    """The page says so at once, though nothing was recorded and no minute has passed."""
    today = yard.workshop.today()
    last_night.keep(book, today - timedelta(days=4), clock[0])
    phone = let_in()
    missing = phone.sign_in(yard.foreman).open("bench").text
    last_night.keep(book, today - timedelta(days=1), clock[0])
    made_up = phone.open("bench").text

    assert ["nights since were not." in page for page in (missing, made_up)] == [True, False]


def test_whoever_is_signed_in_opens_what_is_to_be_decided_today(let_in: LetIn, yard: Any) -> None:
    """What only a foreman can do leads to its motorcycle and to its job, and is gone once it is done."""
    job = yard.open(AXLE)
    yard.work(job)
    page = let_in().sign_in(yard.mechanic).open("bench").follow("Today: what is to be decided")
    told = page.text

    assert "Waiting for the foreman 1" in told
    assert "Everything is done. Look at it, and release it." in told
    assert page.follow(f"Job {job}: Rear axle nut").address.endswith(f"/job/{job}")

    yard.leave(job)

    assert "Waiting for the foreman" not in page.open("today").text


def test_a_foreman_who_is_asked_to_set_a_pin_is_one_tap_from_it(let_in: LetIn, yard: Any) -> None:
    """Today says who has none, and leads to where one is set; a mechanic sets none."""
    add_person(yard.workshop, "Third Person", ("mechanic",), "", Say(yard.foreman))
    page = let_in().sign_in(yard.foreman).open("today")

    assert "P-3 has no PIN" in page.text
    assert "P-3 Third Person Has no PIN yet." in page.follow("Devices and PINs").text
    assert "Devices and PINs" not in page.sign_in(yard.mechanic).open("today").text


def test_each_page_of_the_bench_says_once_what_it_is_of(let_in: LetIn, yard: Any) -> None:
    """Whoever hears a page read out goes by its heading."""
    job = yard.open(AXLE)
    phone = let_in().sign_in(yard.foreman)
    pages = ("bench", "today", f"vehicle/{yard.vehicle}", f"job/{job}", f"job/{job}?read", f"job/{job}/work", "devices")

    assert dict.fromkeys(pages, 1) == {page: phone.open(page).html.count("<h1") for page in pages}


def test_whom_to_call_leads_to_the_number_where_one_is_kept(let_in: LetIn, yard: Any, clock: list[datetime]) -> None:
    """From today to the card, which notes who was shown it; without a number nothing leads there."""
    job = yard.open(AXLE)
    yard.work(job)
    yard.leave(job)
    clock[0] += timedelta(days=40)
    phone = let_in().sign_in(yard.foreman)
    without = phone.open("today").text
    change_vehicle(yard.workshop, yard.vehicle, VehicleChange(personal={"contact": "+43 1 0000000"}), Say(yard.foreman))
    card = phone.open("today").follow("Number and address")

    assert "Call the owner (no number and no address is kept)." in without
    assert "Number and address" not in without
    assert (f"/vehicle/{yard.vehicle}/owner", True) == (urlsplit(card.address).path, "+43 1 0000000" in card.text)
