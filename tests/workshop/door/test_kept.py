"""What a server has judged is kept for a minute, and not longer than the book answers the same."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from torqueaudit.installed import Offer
from torqueaudit.model.act import Say
from torqueaudit.plugins import Plugins
from torqueaudit.testing import play
from torqueaudit.workshop.door.kept import MOST, Works
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import look_at
from torqueaudit.workshop.opening import keep_works
from torqueaudit.workshop.register.settings import settle

OPENED = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2"
TIGHT = "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2"
OF_ANOTHER = "2031-04-02 10:06 job 2 opened axle on V-2 at 12000 km by P-2"


class Hand:
    """A clock that is set by hand, while that of the cards goes on with what they tell."""

    def __init__(self) -> None:
        self.now = datetime(2031, 4, 2, 10, 30, tzinfo=UTC)

    def __call__(self) -> datetime:
        """The moment it is set to."""
        return self.now

    def pass_by(self, **how_long: int) -> None:
        """Set it on."""
        self.now += timedelta(**how_long)


@pytest.fixture
def hand() -> Hand:
    return Hand()


@pytest.fixture
def kept(workshop: Workshop, hand: Hand) -> Works:
    """A workshop that keeps what it judges, with one job."""
    play(workshop, OPENED)
    workshop.kept = Works(workshop.book, hand)
    return workshop.kept


@pytest.mark.usefixtures("kept")
def test_a_job_is_judged_once_while_nothing_happens(workshop: Workshop, hand: Hand) -> None:
    """For each minute of the clock."""
    first = look_at(workshop, "1")
    hand.pass_by(seconds=59)
    again = look_at(workshop, "1")
    hand.pass_by(seconds=1)
    later = look_at(workshop, "1")

    assert first is again
    assert later is not again


@pytest.mark.usefixtures("kept")
def test_an_act_on_it_has_it_judged_anew(workshop: Workshop) -> None:
    """And one on another motorcycle does not."""
    first = look_at(workshop, "1")
    play(workshop, OF_ANOTHER)
    other = look_at(workshop, "1")
    play(workshop, TIGHT)
    after = look_at(workshop, "1")

    assert first is other
    assert ["not tightened", "tightened"] == [each.view.fasteners[0].state for each in (other, after)]


@pytest.mark.usefixtures("kept")
def test_a_setting_has_it_judged_anew(workshop: Workshop) -> None:
    """The workshop is open all the while."""
    zone = look_at(workshop, "1").around.settings.zone
    settle(workshop, {"zone": "Asia/Tokyo"}, Say("P-1"))

    assert (zone, "Asia/Tokyo") == ("UTC", look_at(workshop, "1").around.settings.zone)


def test_no_more_is_kept_than_a_number_of_each_kind(kept: Works) -> None:
    """What was asked for longest ago gives way; strangers push nobody else's out."""
    made: list[Any] = []

    def make(key: str) -> str:
        made.append(key)
        return key

    kept.get("bench", "first", lambda: make("first"))
    for number in range(2 * MOST):
        kept.get("strangers", number, lambda: make("other"))
        kept.get("strangers", "asked again and again", lambda: make("again"))
    kept.get("bench", "first", lambda: make("first"))
    kept.get("strangers", 0, lambda: make("oldest"))

    assert ["first", "again", "oldest"] == [each for each in made if each != "other"]


def test_what_fails_is_not_kept(kept: Works) -> None:
    """It is tried again by whoever asks next."""

    def fail() -> str:
        raise LookupError

    with pytest.raises(LookupError):
        kept.get("bench", "1", fail)

    assert "made" == kept.get("bench", "1", lambda: "made")


@pytest.mark.usefixtures("kept")
def test_many_threads_see_what_one_has_written(workshop: Workshop) -> None:
    """Whoever asks after an act was recorded is told of it, from whatever thread."""

    def written(number: int) -> int:
        play(workshop, f"2031-04-02 10:{10 + number} rear-axle-nut loosened: look number {number} by P-2")
        with ThreadPoolExecutor(4) as askers:
            looks = [askers.submit(look_at, workshop, "1") for _ in range(8)]
            return min(len(each.result().job.record.facts) for each in looks)

    play(workshop, TIGHT)
    before = len(look_at(workshop, "1").job.record.facts)

    assert [before + 1 + number for number in range(5)] == [written(number) for number in range(5)]


@pytest.mark.parametrize("hook", ["record_panels(job, around)", "correct_setting(use)"])
def test_nothing_is_kept_beside_a_plugin_that_does_not_follow_the_entries(
    workshop: Workshop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, hook: str
) -> None:
    """It may say something else at any moment: of the weather, or of a file."""
    says = f"from torqueaudit.plugin import hookimpl\n\n@hookimpl\ndef {hook}:\n    return None\n"
    module = f"weather_{hook.partition('(')[0]}"  # each is imported once
    (tmp_path / f"{module}.py").write_text(says, encoding="utf-8")
    monkeypatch.syspath_prepend(str(tmp_path))
    keep_works(workshop)
    before = workshop.kept
    workshop.plugins = Plugins([Offer("weather", module, "torqueaudit", tmp_path)])
    keep_works(workshop)

    assert isinstance(before, Works)
    assert workshop.kept is None
