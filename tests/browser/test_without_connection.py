"""By https the bench opens in a dead corner, goes on there, and leaves nothing behind who signs out."""

from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Error

from between import PASS, REFUSE

if TYPE_CHECKING:
    from collections.abc import Callable

    from playwright.sync_api import BrowserContext, Page

    from tests.browser.conftest import Workplace

LEFT = """async () => {
    const drafts = await new Promise((done) => {
        indexedDB.open("bench").onsuccess = ({target}) => {
            target.result.transaction("drafts").objectStore("drafts").count().onsuccess = (e) => done(e.target.result);
        };
    });
    return [await caches.keys(), (await navigator.serviceWorker.getRegistrations()).length, drafts];
}"""


# Asked once: to ask again and again the driver needs what the policy of the pages forbids.
TAKEN_OVER = """new Promise((done) => {
    navigator.serviceWorker.addEventListener("controllerchange", () => done(true));
    if (navigator.serviceWorker.controller) done(true);
})"""


def open_and_leave(page: "Page", address: str) -> None:
    """Open a page, and wait until what shows it without a connection has it."""
    page.goto(address)
    page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    page.evaluate(TAKEN_OVER)
    page.goto(address)


def test_pages_open_and_go_on_without_a_connection(
    served_by_tls: "Workplace", opened: "Callable[[Workplace, str], BrowserContext]"
) -> None:
    """What was open before opens, and says that it is old; what is tapped there is recorded later."""
    page = opened(served_by_tls, "P-2").new_page()
    open_and_leave(page, "job/1/step/bike-secured")
    page.goto("job/1/measure/disc-run-out")
    served_by_tls.between.way = REFUSE
    page.goto("job/1/step/bike-secured")
    page.get_by_text("No connection. This is how the page was at").wait_for()
    page.get_by_role("button", name="Done", exact=True).click()
    page.get_by_text("1 waits for the connection").wait_for()
    waiting = page.inner_text("#queue")
    page.goto("job/1/measure/disc-run-out")
    page.get_by_label("front disc run-out, in mm").press_sequentially("0.05")
    page.get_by_role("button", name="Measured, taken so", exact=True).click()
    page.get_by_text("2 wait for the connection").wait_for()
    served_by_tls.between.way = PASS
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_url("**/job/1?done=*")

    assert "Pages that were opened before open without a connection too." in waiting
    assert (1, 1) == (len(served_by_tls.told("step_done")), len(served_by_tls.told("measured")))


def test_a_page_that_was_asked_something_else_is_another_page(
    served_by_tls: "Workplace", opened: "Callable[[Workplace, str], BrowserContext]"
) -> None:
    """Without a connection nobody sees the answer for another drag, or for another stop, in its place."""
    page = opened(served_by_tls, "P-2").new_page()
    open_and_leave(page, "job/1/measure/disc-run-out?drag=4")
    served_by_tls.between.way = REFUSE
    page.goto("job/1/measure/disc-run-out?drag=4")
    page.get_by_text("No connection. This is how the page was at").wait_for()

    with pytest.raises(Error, match="ERR_"):
        page.goto("job/1/measure/disc-run-out?drag=6")


def not_done(page: "Page", why: str) -> None:
    """Tell that a step was not done, on a page that has the step."""
    page.get_by_text("Not done · Does not apply here").click()
    page.get_by_label("Why").fill(why)
    page.get_by_role("button", name="Not done", exact=True).click()


def test_a_page_without_a_connection_tells_a_second_act_after_one_that_waits(
    served_by_tls: "Workplace", opened: "Callable[[Workplace, str], BrowserContext]"
) -> None:
    """It comes as it was each time it opens: two bolts of a group from one page are two acts, and none is lost."""
    page = opened(served_by_tls, "P-2").new_page()
    open_and_leave(page, "job/1/step/bike-secured")
    served_by_tls.between.way = REFUSE
    page.goto("job/1/step/bike-secured")
    page.get_by_role("button", name="Done", exact=True).click()
    page.get_by_text("1 waits for the connection").wait_for()
    page.goto("job/1/step/bike-secured")
    not_done(page, "stand is broken")
    page.get_by_text("2 wait for the connection").wait_for()
    served_by_tls.between.way = PASS
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_url("**/job/1?done=*")

    assert ["yes", "no"] == [entry.said["answer"] for entry in served_by_tls.told("step_done")]


def test_a_page_without_a_connection_tells_a_second_act_after_one_that_was_recorded(
    served_by_tls: "Workplace", opened: "Callable[[Workplace, str], BrowserContext]"
) -> None:
    """The server has an act of that page already, and takes the other one too."""
    page = opened(served_by_tls, "P-2").new_page()
    open_and_leave(page, "job/1/step/bike-secured")
    page.get_by_role("button", name="Done", exact=True).click()
    page.wait_for_url("**/job/1?done=*")
    served_by_tls.between.way = REFUSE
    page.goto("job/1/step/bike-secured")
    not_done(page, "stand is broken")
    page.get_by_text("1 waits for the connection").wait_for()
    served_by_tls.between.way = PASS
    page.evaluate("dispatchEvent(new Event('online'))")
    page.wait_for_url("**/job/1?done=*")

    assert ["yes", "no"] == [entry.said["answer"] for entry in served_by_tls.told("step_done")]


def test_signing_out_leaves_nothing_on_the_device(
    served_by_tls: "Workplace", opened: "Callable[[Workplace, str], BrowserContext]"
) -> None:
    """No page, nothing that was typed; and no page opens without a connection from then on."""
    page = opened(served_by_tls, "P-2").new_page()
    open_and_leave(page, "job/1/measure/disc-run-out")
    page.get_by_label("front disc run-out, in mm").press_sequentially("0.05")
    page.goto("leave")
    before = page.evaluate(LEFT)
    page.get_by_role("button", name="Sign out: change the person").click()
    page.wait_for_url("**/sign")

    assert [["bench"], 1, 1] == before
    assert [[], 0, 0] == page.evaluate(LEFT)


def test_cookies_are_for_https_alone_there(
    served_by_tls: "Workplace", opened: "Callable[[Workplace, str], BrowserContext]"
) -> None:
    """Who signs in by https has a key that plain http is never sent."""
    page = opened(served_by_tls, "P-2").new_page()
    page.goto("leave")
    page.get_by_role("button", name="Sign out: change the person").click()
    page.get_by_label("Your number").fill("P-1")
    page.get_by_label("PIN").fill("271828")
    page.get_by_role("button", name="Sign in", exact=True).click()
    page.wait_for_url("**/today")
    session = next(each for each in page.context.cookies() if each["name"] == "session")

    assert (True, True, "Strict") == (session["secure"], session["httpOnly"], session["sameSite"])
