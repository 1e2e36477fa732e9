"""What a wrench's log says of a fastener, confirmed at the bench by one tap of whoever tightened it."""

from pathlib import Path
from typing import Any

import pytest

from torqueaudit import testing
from torqueaudit.model.act import Say
from torqueaudit.model.log.mapping import read_mapping
from torqueaudit.model.wrench.acts import NewWrench
from torqueaudit.workshop.jobs.logs import enter_logged, look_at_log
from torqueaudit.workshop.judged.job_view import view_of
from torqueaudit.workshop.wrenches.wrench import add_wrench

from .phone import LetIn

MAPPING = """
format = 1
moment = { column = "Time" }
torque = { column = "Torque" }
unit = { always = "N·m" }
wrench = { column = "Wrench" }
job = { column = "Job" }
fastener = { column = "Key" }
"""


@pytest.fixture
def log(yard: Any, clock: Any) -> Any:
    """What enters rows of a log on an open job, "KEY TORQUE" each; returns what came of them."""
    yard.open(Path(testing.__file__).with_name("axle.toml"))
    dial = add_wrench(yard.workshop, NewWrench("indicating", "dial", "20 N·m", "200 N·m"), Say(yard.foreman))

    def entered(*rows: str, job: str = "1") -> list[str]:
        lines = [f"{clock[0].isoformat()},{row.replace(' ', ',')},{dial},{job}" for row in rows]
        data = "\n".join(["Time,Key,Torque,Wrench,Job", *lines]).encode()
        mapping = read_mapping(MAPPING, yard.workshop.plugins.units)
        by = Say(yard.foreman)
        look = enter_logged(yard.workshop, look_at_log(yard.workshop, "log.csv", data, mapping, by), by)
        return [each.becomes.value for each in look.rows]

    return entered


def test_one_tap_confirms_and_paints(let_in: LetIn, yard: Any, log: Any) -> None:
    """It is what comes next; what is shown is what the log says, and who taps answers for it."""
    assert ["entered"] == log("rear-axle-nut 107.5")
    phone = let_in().sign_in("P-2").open("job/1?read=1")

    assert "Confirm a log rear axle nut" in phone.text
    assert "107.5 N·m W-2 showed it" in phone.text
    phone.tap("I tightened it so, and the line is painted")
    now = yard.workshop.record("1").current("rear-axle-nut")
    assert now.tightening
    assert ("P-2", "107.5 N·m", "intact") == (now.tightening.noted.by, now.tightening.shown, now.mark_state)
    assert "rear axle nut: 107.5 N·m" in phone.text


def test_the_list_of_all_work_leads_to_what_a_log_says(let_in: LetIn, log: Any) -> None:
    """And not to tightening it over what may be tight."""
    log("rear-axle-nut 107.5")
    phone = let_in().sign_in("P-2").open("job/1/work")

    assert "rear axle nut a log is to be confirmed" in phone.text
    assert "Confirm a log" in phone.follow("rear axle nut").text


def test_what_was_not_so_is_struck_with_the_reason(let_in: LetIn, yard: Any, log: Any) -> None:
    """Without one nothing is struck."""
    log("rear-axle-nut 107.5")
    phone = let_in().sign_in("P-2").open("job/1?read=1").tap("Strike what the log says")

    assert (422, 1) == (phone.status, len(yard.workshop.record("1").to_confirm))
    assert "Say why the log is not right here" in phone.text
    phone.tap("Strike what the log says", why="the wrench was tried on it")
    assert () == yard.workshop.record("1").to_confirm
    assert "Tighten" in phone.text


def test_a_row_that_came_since_is_not_confirmed_unseen(let_in: LetIn, yard: Any, log: Any) -> None:
    """The next screen shows it."""
    log("rear-axle-nut 107.5")
    phone = let_in().sign_in("P-2").open("job/1?read=1")
    log("rear-axle-nut 131")
    phone.tap("I tightened it so; the line comes later")

    assert ["131 N·m"] == [each.shown for each in yard.workshop.record("1").to_confirm]
    assert "131 N·m W-2 showed it" in phone.text
    assert "107.5 N·m W-2" not in phone.text


def test_a_page_whose_row_was_confirmed_meanwhile_says_so(let_in: LetIn, log: Any) -> None:
    """Nothing is confirmed twice."""
    log("rear-axle-nut 107.5")
    phone, other = let_in().sign_in("P-2"), let_in("desk").sign_in("P-1")
    phone.open("job/1/confirm-logged/rear-axle-nut")
    other.open("job/1/confirm-logged/rear-axle-nut").tap("I tightened it so; the line comes later")
    phone.tap("I tightened it so; the line comes later")

    assert 422 == phone.status
    assert "no row of a log waits to be confirmed" in phone.text
    assert "Nothing waits to be confirmed." in phone.open("job/1/confirm-logged/rear-axle-nut").text


def test_a_new_part_that_went_in_is_told_with_it_at_the_moment_of_the_log(
    let_in: LetIn, yard: Any, log: Any, tmp_path: Path
) -> None:
    """So that it was there before the pass; and the same form sent again changes nothing."""
    text = Path(testing.__file__).with_name("axle.toml").read_text(encoding="utf-8")
    once = text.replace('name = "axle"', 'name = "once"').replace(
        "mark = true", 'mark = true\nsingle_use = ["split-pin"]'
    )
    (tmp_path / "once.toml").write_text(once, encoding="utf-8")
    yard.open(tmp_path / "once.toml")
    assert ["entered"] == log("rear-axle-nut 107.5", job="2")
    phone = let_in().sign_in("P-2").open("job/2/confirm-logged/rear-axle-nut")
    form, button = phone.form_of("I tightened it so, and the line is painted")
    phone.send(form, button, {"new": "split-pin"})
    done = yard.workshop.record("2")
    fitted, tightened = done.fitted("split-pin"), done.current("rear-axle-nut").tightening

    assert fitted.noted.happened_at == tightened.noted.happened_at
    assert fitted.noted.order < tightened.noted.order
    assert not [each.says for each in view_of(yard.workshop, "2").stops if "split pin" in each.says]
    before = yard.workshop.book.head()
    phone.send(form, button, {"new": "split-pin"})
    assert before == yard.workshop.book.head()
