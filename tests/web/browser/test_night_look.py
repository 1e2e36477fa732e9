"""The page of a night on a phone: nothing to the side of the screen, and no number without its heading."""

from datetime import date
from typing import Any

from playwright.sync_api import Browser

from torqueaudit.model.shown.trends import DisturbedMarks, MonthOfRechecks, Trends
from torqueaudit.reports.html import nightly_html
from torqueaudit.workshop.night.night import night_of

from .device import PHONE

TRENDS = Trends(
    (MonthOfRechecks(date(2031, 3, 1), 9, 2, 1), MonthOfRechecks(date(2031, 4, 1), 4, 0, 0)),
    (DisturbedMarks("rear-axle-nut", 3),),
)
SEEN = """() => [...document.querySelectorAll('.trends th')]
    .filter(each => each.getBoundingClientRect().left >= 0 && each.getBoundingClientRect().right <= innerWidth)
    .map(each => each.innerText)"""


def test_the_last_months_are_read_on_a_phone(browser: Browser, yard: Any) -> None:
    """Each picture fits, and each column says what it counts."""
    night = night_of(yard.workshop, yard.workshop.today())._replace(trends=TRENDS)
    page = browser.new_page(viewport=PHONE)
    page.set_content(nightly_html(night))
    wide, seen = page.evaluate("document.documentElement.scrollWidth"), page.evaluate(SEEN)
    page.close()

    assert PHONE["width"] == wide
    assert ["Re-checks due in", "all", "done by the day", "later", "not done"] == seen
