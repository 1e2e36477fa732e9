"""What a screen says after an act, and where it leads from there."""

from typing import Any

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.job.facts import CheckMethod
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.wrenches.wrench import add_wrench

from .phone import LetIn


@pytest.fixture
def phone(let_in: LetIn, yard: Any, procedures: Any) -> Any:
    """Signed in, with a job begun."""
    yard.open(procedures / "final-drive.toml")
    return let_in().sign_in("P-2").open("job/1?read=1")


def test_a_fault_is_told_in_words_and_is_a_stop(phone: Any) -> None:
    """Without words it is no use to whoever mends it; with them the screen says what to do, and the list shows it."""
    phone.open("job/1/step/bearings-look").tap("Fault found")
    assert (422, True) == (phone.status, "Wheel and carrier bearings: say what was found." in phone.text)

    phone.tap("Fault found", remark="rough on the left")
    assert 'class="alarm"' in phone.page
    assert "Fit the bearings new" in phone.text
    assert '<li class="stop"><a href="../../job/1/step/bearings-look">' in phone.open("job/1/work").page


def test_whoever_comes_back_sees_what_was_recorded_a_moment_ago(phone: Any, yard: Any) -> None:
    """With its undo, for ten minutes."""
    phone.tap("Done: all 5").tap("In order")
    phone.open("job/1")
    assert "wheel and carrier bearings: IN ORDER" in phone.text
    phone.tap("Undo")
    assert "taken back" in phone.text

    yard.later(minutes=9)
    assert "taken back" in phone.open("job/1").text
    yard.later(minutes=5)
    assert "taken back" not in phone.open("job/1").text


def test_several_acts_of_one_tap_are_taken_back_by_one(phone: Any, yard: Any) -> None:
    """All five steps that followed each other."""
    phone.tap("Done: all 5")
    assert yard.workshop.record("1").steps("compared")
    phone.tap("Undo all 5")

    assert [None] * 2 == [yard.workshop.record("1").steps(key) for key in ("bike-secured", "compared")]


def test_a_part_is_told_as_stated_unless_it_was_written_otherwise(phone: Any, yard: Any) -> None:
    """What stands in the other field counts for the other button alone."""
    told = {"with.material": "steel"}
    phone.open("job/1/fit/rear-sprocket").tap("Fitted as stated", part="something else", **told)
    stated = yard.workshop.record("1").fitted("rear-sprocket")
    yard.later(minutes=6)
    phone.open("job/1/fit/rear-sprocket").tap("Fitted as written here", part="sprocket of 42", **told)

    written = yard.workshop.record("1").fitted("rear-sprocket")
    assert ("rear sprocket, 43 teeth", "sprocket of 42") == (stated.part, written.part)
    assert ("43", "525") == (dict(stated.attributes)["teeth"], dict(stated.attributes)["size"])


def test_a_refused_part_keeps_what_is_stated_apart_from_what_was_typed(phone: Any, yard: Any) -> None:
    """What stands bold is what one tap records; what was fitted instead, and that it was used, stay to be sent."""
    told = {"with.material": "steel", "with.teeth": "4O", "part": "sprocket of 42", "used": "yes"}
    phone.open("job/1/fit/rear-sprocket").tap("Fitted as written here", **told)
    assert 422 == phone.status
    assert "<b>rear sprocket, 43 teeth</b>" in phone.page
    phone.tap("Fitted as written here", **{"with.teeth": "42"})

    written = yard.workshop.record("1").fitted("rear-sprocket")
    assert ("sprocket of 42", False) == (written.part, written.new)


def test_what_a_kind_of_part_knows_besides_is_chosen_too(phone: Any, yard: Any) -> None:
    """Which way the closed end of a clip points, although the procedure does not ask for it; or it is left out."""
    told = {"with.make and type": "as the chain", "with.size": "525", "with.type": "clip"}
    phone.open("job/1/fit/rivet-link").tap(
        "Fitted as stated", **told, **{"with.closed end": "against the way of travel"}
    )
    chosen = dict(yard.workshop.record("1").fitted("rivet-link").attributes)
    yard.later(minutes=6)
    phone.open("job/1/fit/rivet-link").tap("Fitted as stated", **told)

    assert "against the way of travel" == chosen["closed end"]
    assert "closed end" not in dict(yard.workshop.record("1").fitted("rivet-link").attributes)


def test_a_screen_out_of_order_says_how_it_stands(phone: Any) -> None:
    """Whoever looks back sees what was told."""
    phone.tap("Only this is done")

    assert "Recorded before: yes" in phone.open("job/1/step/bike-secured").text


def test_a_torque_beyond_the_wrench_is_asked_back(phone: Any, yard: Any) -> None:
    """One nought too many, or a unit that is not the field's: nothing is recorded before somebody looked again."""
    phone.open("job/1/tighten/rear-axle-nut").tap("W-1")
    phone.tap("Turned, then clicked, set as typed here", other="1080")
    assert (422, True) == (phone.status, "1080 N·m is beyond wrench W-1" in phone.text)
    phone.tap("Turned, then clicked, set as typed here", other="80 lbf")
    assert "write the number alone; it is in N·m" in phone.text
    assert not yard.workshop.record("1").events("rear-axle-nut")

    phone.open("job/1/tighten/rear-axle-nut").tap("Turned, then clicked, set as typed here", other="1080")
    phone.tap("Turned, then clicked, set as typed here", other="1080", sure="yes")
    assert "Put wrench W-1 aside" in phone.page
    phone.follow("Put wrench W-1 aside").tap("It was overloaded: put it aside", why="set ten times too high")
    assert "Withdrawn" in phone.text


def test_one_bolt_told_alone_leaves_the_button_of_all_to_all(phone: Any, yard: Any) -> None:
    """Which bolt is chosen counts for the buttons that say so."""
    phone.open("job/1/tighten/sprocket-bolt").tap("This bolt: turned by hand", of="sprocket-bolt-2")
    yard.later(minutes=6)
    phone.open("job/1/tighten/sprocket-bolt").tap("All 5: turned by hand")

    record = yard.workshop.record("1")
    assert [1, 2, 1, 1, 1] == [len(record.events(f"sprocket-bolt-{number}")) for number in range(1, 6)]


def test_what_is_recorded_of_several_acts_is_said(let_in: LetIn, phone: Any, yard: Any) -> None:
    """Two nuts wait for a second look, and one is loosened meanwhile."""
    for key in ("caliper-carrier-bolt", "torque-arm-bolt"):
        phone.open(f"job/1/tighten/{key}")
        if "Choose a wrench" in phone.page:
            phone.tap("W-1")
        phone.tap("Turned, then clicked, and the line painted")
    other = let_in("desk").sign_in("P-1").open("job/1/check/caliper-carrier-bolt")
    yard.later(minutes=1)
    phone.open("job/1/loosen/torque-arm-bolt").tap("Loosened", why="washer forgotten")
    yard.later(minutes=1)
    form, button = other.form_of("I saw the mark whole")
    form.fields.append(("also", "torque-arm-bolt"))
    other.send(form, button._replace(value="mark seen, all"), {})

    assert "Recorded in part: the rest is not" in other.text
    assert "rear caliper carrier bolt: checked by P-1" in other.text
    assert "Brake torque arm bolt: loosened at that time" in other.text
    assert "A second person looks" not in other.text  # what comes next, and not once more what is recorded
    assert "Done: all 5" in other.text


def test_what_is_still_to_do_of_a_form_stays_with_what_was_typed(let_in: LetIn, yard: Any, procedures: Any) -> None:
    """The new bolts are recorded, and who helped is nobody: the pass stays to be told, the bolts do not."""
    yard.open(procedures / "front-wheel.toml")
    phone = let_in().sign_in("P-2").open("job/1/tighten/front-caliper-bolt").tap("W-1")
    phone.tap("All 2: turned, then clicked", new="front-caliper-bolt", angle="45", helper="P-9")
    assert "Recorded in part: the rest is not" in phone.text
    assert ('name="angle" value="45"' in phone.page, 'value="front-caliper-bolt" checked' in phone.page) == (
        True,
        False,
    )
    phone.tap("All 2: turned, then clicked", helper="P-1")

    record = yard.workshop.record("1")
    assert record.fitted("front-caliper-bolt")
    assert ["P-1"] == [each for event in record.events("front-caliper-bolt-1") for each in event.helpers]


def test_a_fastener_without_a_whole_mark_is_seen_whole_by_nobody(let_in: LetIn, phone: Any, yard: Any) -> None:
    """Its line comes later: it is not offered beside another one, and alone only in other ways."""
    yard.work("1")
    for key, told in (
        ("caliper-carrier-bolt", ", and the line painted"),
        ("torque-arm-bolt", "; the line comes later"),
    ):
        phone.sign_in("P-2").open(f"job/1/loosen/{key}").tap("Loosened", why="washer forgotten")
        yard.later(minutes=1)
        phone.open(f"job/1/tighten/{key}")
        if "Choose a wrench" in phone.page:
            phone.tap("W-1")
        phone.tap(f"Turned, then clicked{told}")
    other = let_in("desk").sign_in("P-1").open("job/1/check/caliper-carrier-bolt")
    assert ("I looked at each" in other.text, "I saw the mark whole" in other.text) == (False, True)

    other.open("job/1/check/torque-arm-bolt")
    assert ("I looked at each" in other.text, "I saw the mark whole" in other.text) == (False, False)
    phone.open("job/1/mark/torque-arm-bolt").tap("Painted")
    assert "I looked at each" in other.open("job/1/check/caliper-carrier-bolt").text


def test_no_wrench_is_asked_for_on_what_threadlocker_holds(let_in: LetIn, yard: Any, procedures: Any) -> None:
    """A click there breaks the bond; a plain joint may be clicked."""
    job = yard.open(procedures / "front-wheel.toml")
    yard.work(job)
    other = let_in("desk").sign_in("P-1")

    told = {key: other.open(f"job/{job}/check/{key}").text for key in ("front-disc-bolt", "front-axle")}
    assert {"front-disc-bolt": False, "front-axle": True} == {key: "it clicked" in said for key, said in told.items()}
    assert all("I saw the mark whole" in said for said in told.values())


def test_whoever_is_led_to_loosen_reads_why(let_in: LetIn, yard: Any, procedures: Any) -> None:
    """What is wrong with it stands above the field that asks."""
    job = yard.open(procedures / "front-wheel.toml")
    yard.work(job)
    check(yard.workshop, job, "front-disc-bolt", CheckMethod.CLICKED_ONLY, "", Say(yard.foreman))
    told = let_in().sign_in("P-2").open(f"job/{job}").text

    assert "Loosen front disc bolt" in told
    assert "Front disc bolt 1: a wrench was put on it again after its final torque" in told


def test_who_may_not_check_is_told_before_they_look(let_in: LetIn, phone: Any) -> None:
    """Who tightened it, and what was applied is shown only after the look."""
    phone.open("job/1/tighten/rear-axle-nut").tap("W-1")
    phone.tap("Turned, then clicked, and the line painted")
    assert "P-2 had a hand in it" in phone.open("job/1/check/rear-axle-nut").text

    other = let_in("desk").sign_in("P-1").open("job/1/check/rear-axle-nut")
    assert "W-1" not in other.text
    assert "rear axle nut: 108" in other.tap("I saw the mark whole").text


def test_an_adapter_that_is_none_leads_back(phone: Any) -> None:
    """With the sentence of the command line."""
    phone.open("job/1/tighten/rear-axle-nut").tap("W-1", adapter="60mm")
    assert (422, True) == (phone.status, "Go back" in phone.page)

    phone.follow("Go back")
    assert "Choose a wrench" in phone.page


def test_a_part_that_goes_in_with_its_bolt_is_told_beside_it(let_in: LetIn, yard: Any, procedures: Any) -> None:
    """No step of its own asks for the new bolt, so the screen of the bolt does."""
    yard.open(procedures / "front-wheel.toml")
    phone = let_in().sign_in("P-2").open("job/1/tighten/front-caliper-bolt").tap("W-1")
    assert "a new front caliper bolt was put in" in phone.text
    phone.tap("All 2: turned, then clicked", new="front-caliper-bolt", angle="45")

    assert yard.workshop.record("1").fitted("front-caliper-bolt")
    assert "no new front caliper bolt" not in phone.text


def test_nothing_is_told_of_a_motorcycle_that_left_before_it_is_here(phone: Any, yard: Any) -> None:
    """Also a look at a mark, which would say that it came back."""
    yard.work("1")
    yard.leave("1")
    phone.sign_in("P-2").open("job/1")
    assert "It left the workshop on" in phone.text
    before = yard.workshop.book.head()
    phone.open("job/1/mark/rear-axle-nut?look=1").tap("Whole")

    assert (422, before) == (phone.status, yard.workshop.book.head())
    assert "It is here again" in phone.text


def test_a_group_that_is_begun_is_finished_first(phone: Any) -> None:
    """Also where it was begun out of order."""
    phone.open("job/1/tighten/sprocket-bolt").tap("This bolt: turned by hand", of="sprocket-bolt-1")

    assert "1 of 5 done" in phone.open("job/1").text


def test_a_measurement_says_at_once_how_far_to_move(phone: Any) -> None:
    """In flats of the adjuster, below the stop."""
    phone.open("job/1/measure/slack").tap("Measured", **{"read.slack.1": "50"})

    assert "move the axle back by" in phone.text
    assert "flats each" in phone.text


def test_a_motorcycle_is_found_by_how_its_token_begins(phone: Any, yard: Any) -> None:
    """Also by its number; a part of what it is called may mean another one too, and is shown with its reason."""
    begins = yard.token("1")[:4]
    for wanted in (begins, begins.upper(), "v1"):
        phone.open("bench").tap("Find", find=wanted)
        assert phone.address.endswith(f"/vehicle/{yard.vehicle}"), wanted

    phone.open("bench").tap("Find", find="kestr")
    assert phone.address.endswith("/find?find=kestr")
    assert f'/vehicle/{yard.vehicle}"' in phone.page


def test_a_second_job_at_a_smaller_odometer_is_begun_by_two_ticks(phone: Any, yard: Any) -> None:
    """What was ticked first stays ticked; else each answer brings the other question again, without end."""
    phone.open(f"vehicle/{yard.vehicle}").tap("Begin", odometer="900")
    assert (422, True, False) == (phone.status, 'name="sure"' in phone.page, 'name="second"' in phone.page)
    phone.tap("Begin", sure="yes")
    assert (422, True) == (phone.status, 'name="sure" value="yes" checked' in phone.page)
    phone.tap("Begin", second="yes")

    assert (200, 900_000) == (phone.status, yard.workshop.record("2").odometer_m)


def test_the_address_of_a_refused_beginning_opens_again(phone: Any, yard: Any) -> None:
    """Whoever loads the page anew sees the motorcycle with its forms."""
    phone.open(f"vehicle/{yard.vehicle}").tap("Begin", odometer="900")
    for address in (phone.address, f"vehicle/{yard.vehicle}/here"):
        phone.open(address)
        assert (200, True, False) == (phone.status, "New work" in phone.text, "Not recorded" in phone.text)
        assert phone.follow("Go on").address.endswith("/job/1")


def test_a_refused_pass_keeps_everything_that_was_told_of_it(phone: Any) -> None:
    """Who helped and how the thread was, too: else one tap more would record the pass without them."""
    phone.open("job/1/tighten/rear-axle-nut").tap("W-1")
    told = {"helper": "P-3", "thread": "bad", "other": "much"}
    phone.open("job/1/tighten/rear-axle-nut").tap("Turned, then clicked, set as typed here", **told)

    assert 422 == phone.status
    assert 'name="helper" value="P-3"' in phone.page
    assert 'name="thread" value="bad" checked' in phone.page
    assert 'name="other" value="much"' in phone.page


def test_a_refused_pass_of_a_stage_that_is_over_says_so(let_in: LetIn, phone: Any, yard: Any) -> None:
    """Somebody else told it meanwhile: beside the next stage no tick is offered that would record that one."""
    phone.open("job/1/tighten/sprocket-bolt")
    let_in("desk").sign_in("P-1").open("job/1/tighten/sprocket-bolt").tap("All 5: turned by hand")
    before = yard.workshop.book.head()
    phone.tap("All 5: turned by hand")

    assert (422, before) == (phone.status, yard.workshop.book.head())
    assert "Rear sprocket bolt: this page was out of date (stage 1, now 2" in phone.text
    assert 'name="again"' not in phone.page


def test_a_refused_pass_with_another_setting_says_so_and_drops_what_was_ticked(phone: Any, yard: Any) -> None:
    """Another wrench was chosen in another tab: what was set on the first one would be recorded of that one."""
    add_wrench(yard.workshop, NewWrench("setting", "short one", "20 N·m", "120 N·m"), Say(yard.foreman))
    phone.open("job/1/tighten/rear-axle-nut").tap("W-1")
    typed = "Turned, then clicked, set as typed here"
    form, button = phone.tap(typed, other="1080").form_of(typed)
    phone.open("job/1/tighten/rear-axle-nut").tap("W-2", adapter="none")
    before = yard.workshop.book.head()
    phone.open("job/1/tighten/rear-axle-nut").send(form, button, {"other": "1080", "sure": "yes", "helper": "P-9"})

    assert (422, before) == (phone.status, yard.workshop.book.head())
    assert "this page was out of date (wrench W-1, now W-2; adapter –, now none);" in phone.text
    assert ('value="1080"' in phone.page, 'name="sure"' in phone.page) == (False, False)
    assert 'name="helper" value="P-9"' in phone.page


def test_a_refused_bolt_stays_the_one_that_was_chosen(phone: Any) -> None:
    """The page offers the next one, and the mechanic told of another."""
    for _ in range(2):  # the second time it is asked whether it was done again
        phone.open("job/1/tighten/sprocket-bolt").tap("This bolt: turned by hand", of="sprocket-bolt-3")

    assert 422 == phone.status
    assert 'value="sprocket-bolt-3" checked' in phone.page
