"""What is tapped where the connection goes: kept on the device, sent once and in order, by whoever said it."""

import os
import signal
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PIL import Image
from playwright.sync_api import expect

from between import HANG, PASS, REFUSE, SWALLOW
from torqueaudit.ledger.entry import moment_of

if TYPE_CHECKING:
    from playwright.sync_api import BrowserContext, Page

    from tests.browser.conftest import Workplace

FIRST, SECOND = "job/1/step/bike-secured", "job/1/step/lever-firm"
MEASURE, RUN_OUT, TAKEN = "job/1/measure/disc-run-out", "front disc run-out, in mm", "Measured, taken so"
WAIT = 10_000  # milliseconds
WAITS, TWO_WAIT = "1 waits for the connection", "2 wait for the connection"
# The browser keeps what is typed a moment after each key. Asked in the page: the driver may not ask again and again.
DRAFTED = """async (typed) => {
    const opened = await new Promise((done) => { indexedDB.open("bench").onsuccess = (e) => done(e.target.result); });
    const all = () => new Promise((done) => {
        opened.transaction("drafts").objectStore("drafts").getAll().onsuccess = (e) => done(e.target.result);
    });
    const there = async () => JSON.stringify(await all()).includes(`"${typed}"`);
    for (let tries = 0; tries < 200 && !await there(); tries++) await new Promise((done) => setTimeout(done, 20));
    opened.close();
}"""
Opened = Callable[["Workplace", str], "BrowserContext"]


def tap(page: "Page", says: str = "Done") -> None:
    """Tap a button of the screen."""
    page.get_by_role("button", name=says, exact=True).first.click()


def answers_again(place: "Workplace", *pages: "Page") -> None:
    """The connection is there again, and the browser tells its pages, as it does when a phone finds the network."""
    place.between.way = PASS
    for page in pages:
        page.evaluate("dispatchEvent(new Event('online'))")


def says(page: "Page", text: str) -> None:
    """Wait until a page says something."""
    page.get_by_text(text).first.wait_for()


def keys(place: "Workplace") -> list[str]:
    """The steps that were recorded, in the order in which they were."""
    return [str(entry.said["key"]) for entry in place.told("step_done")]


def test_a_tap_is_recorded_and_leads_to_what_comes_next(served: "Workplace", page: "Page") -> None:
    """As without the script, and by one form; nothing is said of waiting."""
    page.goto("job/1?read=1")
    tap(page)
    page.wait_for_url("**/job/1?done=*")

    assert ["bike-secured"] == keys(served)
    assert 1 == served.between.posted
    assert "motorcycle secured: yes" in page.inner_text(".echo")
    assert 0 == page.locator("#queue").count()


def test_a_tap_without_a_connection_waits_and_is_recorded_once(served: "Workplace", page: "Page") -> None:
    """The page says that it waits, and what plain http means; then it leads on."""
    page.goto("job/1?read=1")
    served.between.way = REFUSE
    tap(page)
    says(page, WAITS)
    waiting = page.inner_text("#queue")
    before = keys(served)
    served.between.way = PASS
    page.wait_for_url("**/job/1?done=*")

    assert "This address is plain http: without a connection no other page opens." in waiting
    assert ([], ["bike-secured"]) == (before, keys(served))


def test_an_answer_that_is_lost_after_the_act_was_recorded(served: "Workplace", page: "Page") -> None:
    """It is sent again under its own id, and is there once."""
    page.goto("job/1?read=1")
    served.between.way = SWALLOW
    tap(page)
    says(page, WAITS)
    recorded = keys(served)
    answers_again(served, page)
    page.wait_for_url("**/job/1?done=*")

    assert (["bike-secured"], ["bike-secured"]) == (recorded, keys(served))
    assert served.between.posted >= 2


def test_two_taps_on_one_button_are_one_act(served: "Workplace", page: "Page") -> None:
    """A glove taps twice."""
    page.goto("job/1?read=1")
    page.get_by_role("button", name="Done", exact=True).dblclick()
    page.wait_for_url("**/job/1?done=*")

    assert (["bike-secured"], 1) == (keys(served), served.between.posted)


def test_two_tabs_send_each_act_once_and_in_order(served: "Workplace", opened: Opened) -> None:
    """Both say that two wait; both are sent by one of them, and each leads on where it was tapped."""
    context = opened(served, "P-2")
    first, second = context.new_page(), context.new_page()
    first.goto(FIRST)
    second.goto(SECOND)
    served.between.way = REFUSE
    tap(first)
    says(first, WAITS)
    tap(second)
    for page in (first, second):
        says(page, TWO_WAIT)
    answers_again(served, first, second)
    for page in (first, second):
        page.wait_for_url("**/job/1?done=*")

    assert ["bike-secured", "lever-firm"] == keys(served)
    assert 2 == served.between.posted


def test_what_is_tapped_while_another_one_hangs_is_sent_too(served: "Workplace", opened: Opened) -> None:
    """The first gets no answer at all; when its connection ends both are recorded, the first one first."""
    context = opened(served, "P-2")
    first, second = context.new_page(), context.new_page()
    first.goto(FIRST)
    second.goto(SECOND)
    served.between.way = HANG
    tap(first)
    tap(second)
    says(second, TWO_WAIT)
    served.between.way = PASS
    for page in (first, second):
        page.wait_for_url("**/job/1?done=*")

    assert ["bike-secured", "lever-firm"] == keys(served)


def test_one_page_tells_a_second_act_where_no_other_opens(served: "Workplace", page: "Page") -> None:
    """Only when asked to, under an id of its own: two bolts of a group from one page."""
    page.goto(FIRST)
    served.between.way = REFUSE
    tap(page)
    says(page, WAITS)
    tap(page, "Tell another one on this page")
    page.get_by_text("Not done · Does not apply here").click()
    page.get_by_label("Why").fill("stand is broken")
    tap(page, "Not done")
    says(page, TWO_WAIT)
    answers_again(served, page)
    page.wait_for_url("**/job/1?done=*")

    assert ["yes", "no"] == [entry.said["answer"] for entry in served.told("step_done")]


def test_another_act_under_an_id_that_waits_is_kept_under_its_own(served: "Workplace", opened: Opened) -> None:
    """A browser that shows a page twice as it was: what says something else is another act, the same is one."""
    context = opened(served, "P-2")
    pages = [context.new_page() for _ in range(3)]
    for page in pages:
        page.goto(FIRST)
    own = pages[0].evaluate("document.forms[0].elements.id.value")
    for page in pages[1:]:
        page.evaluate(f"document.forms[0].elements.id.value = '{own}'")
    served.between.way = REFUSE
    tap(pages[0])
    says(pages[0], WAITS)
    tap(pages[1])
    says(pages[1], WAITS)
    pages[2].get_by_text("Not done · Does not apply here").click()
    pages[2].get_by_label("Why").fill("stand is broken")
    tap(pages[2], "Not done")
    says(pages[2], TWO_WAIT)
    answers_again(served, *pages)
    for page in pages:
        page.wait_for_url("**/job/1?done=*")

    assert ["yes", "no"] == [entry.said["answer"] for entry in served.told("step_done")]


def test_a_browser_that_is_killed_forgets_nothing(
    served: "Workplace", playwright: Any, options: dict[str, Any], tmp_path: Path
) -> None:
    """kill -9 with an act waiting; it is sent as soon as a page of the bench opens again."""
    profile = tmp_path / "profile"

    def start() -> "Page":
        context = playwright.chromium.launch_persistent_context(profile, base_url=served.address, **options)
        context.add_cookies(cookies)
        started: Page = context.new_page()
        return started

    cookies = served.cookies("P-2")
    page = start()
    page.goto("job/1?read=1")
    served.between.way = REFUSE
    tap(page)
    says(page, WAITS)
    with page.context.expect_event("close"):
        os.kill(process_of(profile), signal.SIGKILL)
    served.between.way = PASS
    assert [] == keys(served)

    page = start()
    page.goto("job/1/work")
    says(page, "Sent: Job 1 · red Kestrel: Done")
    page.get_by_text("Look at what comes next").click()
    page.wait_for_url("**/job/1?done=*")
    page.context.close()
    assert ["bike-secured"] == keys(served)


def process_of(profile: Path) -> int:
    """The browser that has this profile."""
    told = f"--user-data-dir={profile}"
    for each in Path("/proc").glob("[0-9]*/cmdline"):
        words = each.read_bytes().decode(errors="replace").replace("\0", " ").split()
        if told in words and not any(word.startswith("--type=") for word in words):
            return int(each.parent.name)
    raise AssertionError("no browser has this profile")


def test_nobody_sends_what_another_person_said(served: "Workplace", page: "Page") -> None:
    """It waits until that person signs in again, and is theirs."""
    page.goto("job/1?read=1")
    served.between.way = REFUSE
    tap(page)
    says(page, WAITS)
    served.between.way = PASS
    page.context.clear_cookies()
    page.context.add_cookies(served.cookies("P-1"))
    page.goto("bench")
    says(page, "1 waits until P-2 signs in here")
    assert [] == keys(served)

    sign_in(page, "P-2")
    says(page, "Sent: Job 1 · red Kestrel: Done")
    assert [("P-2", "bike-secured")] == [(entry.who, entry.said["key"]) for entry in served.told("step_done")]


def test_a_page_of_who_was_there_before_records_under_nobody_else(served: "Workplace", page: "Page") -> None:
    """The tablet changed hands in another tab; what is tapped on the old page is not said by who is signed in now."""
    page.goto("job/1?read=1")
    page.context.add_cookies(served.cookies("P-1"))
    tap(page)
    says(page, "1 waits until P-2 signs in here")

    assert [] == served.told("step_done")


def sign_in(page: "Page", person: str) -> None:
    """Sign in after whoever was there before, as people do."""
    page.goto("leave")
    tap(page, "Sign out: change the person")
    page.get_by_label("Your number").fill(person)
    page.get_by_label("PIN").fill({"P-1": "271828", "P-2": "314159"}[person])
    tap(page, "Sign in")
    page.wait_for_url("**/bench")


def test_a_photo_that_finds_no_connection_waits_too(served: "Workplace", page: "Page", tmp_path: Path) -> None:
    """Its bytes are kept on the device; when it is sent the page leads to looking at it."""
    photo = tmp_path / "bolt.png"
    Image.effect_noise((640, 480), 60).save(photo)
    page.goto(FIRST)
    page.get_by_text("Photograph it").click()
    page.get_by_label("A photo, without plate or face").set_input_files(photo)
    served.between.way = REFUSE
    tap(page, "Look at the photo")
    says(page, WAITS)
    answers_again(served, page)
    page.wait_for_url("**/job/1/photo/*waits=*")

    assert 640 == page.evaluate("document.querySelector('img').naturalWidth")


def test_who_was_idle_tells_the_pin_and_is_led_on(served: "Workplace", page: "Page") -> None:
    """Eleven minutes went by: what was tapped waits for the PIN, and nobody taps it again."""
    page.goto("job/1?read=1")
    served.ahead[0] = timedelta(minutes=11)
    tap(page)
    page.get_by_text("Ten minutes went by without a tap.").wait_for()
    before = keys(served)
    page.get_by_label("PIN").fill("314159")
    tap(page, "Sign in")
    page.wait_for_url("**/job/1?done=*")

    assert ([], ["bike-secured"]) == (before, keys(served))


def test_what_was_typed_is_there_until_it_was_sent(served: "Workplace", page: "Page") -> None:
    """After the page was opened anew; and no longer after it was sent."""
    page.goto(MEASURE)
    page.get_by_label(RUN_OUT).press_sequentially("0.05")
    page.evaluate(DRAFTED, "0.05")
    page.reload()
    expect(page.get_by_label(RUN_OUT)).to_have_value("0.05", timeout=WAIT)
    tap(page, TAKEN)
    page.wait_for_url("**/job/1?done=*")
    page.goto(MEASURE)
    page.wait_for_timeout(300)

    assert "" == page.get_by_label(RUN_OUT).input_value()
    assert 1 == len(served.told("measured"))


def test_back_and_sending_anew_shows_what_was_recorded_a_moment_ago(served: "Workplace", page: "Page") -> None:
    """The page before says what stands, and what is told once more is asked back with who told it when."""
    page.goto(MEASURE)
    page.get_by_label(RUN_OUT).fill("0.05")
    tap(page, TAKEN)
    page.wait_for_url("**/job/1?done=*")
    page.go_back()
    says(page, "Recorded before: 0.05 mm")
    page.get_by_label(RUN_OUT).fill("0.05")
    tap(page, TAKEN)
    says(page, "P-2 told the same at")

    assert 1 == len(served.told("measured"))
    assert 1 == page.get_by_label("It was done again").count()


def test_a_refusal_is_said_where_it_was_tapped(served: "Workplace", page: "Page") -> None:
    """The page that the server answers stands there, with what was typed; put right it is recorded."""
    page.goto(MEASURE)
    page.get_by_label(RUN_OUT).fill("o.o5")
    tap(page, TAKEN)
    says(page, "Not recorded")
    typed = page.get_by_label(RUN_OUT).input_value()
    page.get_by_label(RUN_OUT).fill("0.05")
    tap(page, TAKEN)
    page.wait_for_url("**/job/1?done=*")

    assert "o.o5" == typed
    assert 1 == len(served.told("measured"))


def test_a_refusal_that_nobody_saw_is_kept_aside_with_what_was_typed(served: "Workplace", page: "Page") -> None:
    """It was tapped on a page that is gone. It says what and why until it is put away, and its form has it yet."""
    page.goto(MEASURE)
    page.get_by_label(RUN_OUT).fill("o.o5")
    served.between.way = REFUSE
    tap(page, TAKEN)
    says(page, WAITS)
    page.goto("about:blank")
    served.between.way = PASS
    page.goto("bench")
    says(page, "Not recorded: Job 1 · red Kestrel: Measured, taken so.")
    why = page.inner_text("#queue .alarm")
    page.get_by_text("Look at it").click()
    expect(page.get_by_label(RUN_OUT)).to_have_value("o.o5", timeout=WAIT)
    tap(page, "Put away")
    page.locator("#queue").wait_for(state="detached")

    assert "Front disc run-out:" in why
    assert [] == served.told("measured")


def test_minutes_ago_are_those_between_the_tap_and_the_sending(served: "Workplace", page: "Page") -> None:
    """The clock of the browser goes on by 25 minutes while it waits."""
    page.clock.install()
    page.goto("job/1?read=1")
    served.between.way = REFUSE
    tap(page)
    page.clock.run_for(1000)
    says(page, WAITS)
    served.between.way = PASS
    page.clock.fast_forward("25:00")
    page.wait_for_url("**/job/1?done=*")

    entry = served.told("step_done")[0]
    minutes = (moment_of(entry.recorded_at) - moment_of(entry.happened_at)).total_seconds() / 60
    assert 24.5 < minutes < 25.5
