"""The owner's page in a browser, in each of its states: rules, targets, large text, narrow screens, no style at all."""

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import ViewportSize

from torqueaudit.model.act import Say
from torqueaudit.model.job.facts import MarkState
from torqueaudit.workshop.jobs.fasteners import see_mark

from .device import PHONE, Device
from .looks import faults_of

NARROW = ViewportSize(width=320, height=568)


@pytest.fixture
def settings(network: str) -> dict[str, object]:
    return {"zone": "Europe/Vienna", "base_address": f"http://{network}", "telephone": "+99 555 00 00"}


@pytest.fixture
def owner(let_in: Callable[..., Device]) -> Device:
    """The phone of somebody who has no account here."""
    phone = let_in()
    phone.context.clear_cookies()
    return phone


def test_each_state_is_read_by_everybody(owner: Device, yard: Any, left: str) -> None:
    """Light and dark, large letters, a hand in a glove."""
    address = f"r/{yard.token(left)}"
    said = faults_of(owner.open(address), "owner-ride")
    owner.unfold("Tell us that")
    yard.later(days=14)
    said += faults_of(owner.open(address), "owner-come-back")
    yard.later(days=20)
    said += faults_of(owner.open(address), "owner-overdue")
    owner.tap("Tell the workshop", odometer="11")
    said += faults_of(owner, "owner-not-taken")
    owner.tap("Tell the workshop", odometer="12090")
    said += faults_of(owner, "owner-noted")
    see_mark(yard.workshop, left, "rear-axle-nut", MarkState.DISTURBED, "", Say("owner"))
    said += faults_of(owner.open(address), "owner-do-not-ride")
    yard.arrive(at_m=12_095_000)
    said += faults_of(owner.open(address), "owner-in-the-workshop")

    assert [] == said


def test_it_is_read_on_a_narrow_phone_and_without_style(owner: Device, yard: Any, left: str) -> None:
    """320 px at 200 % scrolls down alone; a phone that knows no style sheets still says all of it in order."""
    page = owner.open(f"r/{yard.token(left)}").page
    page.set_viewport_size(NARROW)
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")

    page.set_viewport_size(PHONE)
    page.evaluate("document.querySelector('style').remove()")
    text = " ".join(page.inner_text("body").split())
    parts = [
        "You may ride",
        "by Thursday 17 April",
        "One straight line",
        "A broken line",
        "Call +99",
        "Tell the workshop",
    ]
    places = [text.index(each) for each in parts]
    assert sorted(places) == places
    assert 300 > page.evaluate("document.querySelector('.look svg').getBoundingClientRect().width")


def test_what_is_told_is_told_without_a_script(served: str, owner: Device, yard: Any, left: str, browser: Any) -> None:
    """With scripts switched off: kilometres, and that somebody undid it."""
    with browser.new_context(java_script_enabled=False) as window:
        page = window.new_page()
        page.goto(f"{served}r/{yard.token(left)}")
        page.fill("#odometer", "12050")
        page.get_by_role("button", name="Tell the workshop").first.click()
        assert page.get_by_text("Your kilometres are noted").is_visible()
        page.get_by_text("Tell us that").click()
        page.select_option("#place", label="rear axle nut")
        page.select_option("#why", label="A wheel was out")
        page.get_by_role("button", name="Tell the workshop").last.click()
        assert page.get_by_text("Do not ride", exact=True).is_visible()
    assert [] == owner.trouble
