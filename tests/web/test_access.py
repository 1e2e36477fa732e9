"""Pages speak to a stranger: nothing that the table hides from one stands on them."""

from collections.abc import Callable, Iterator
from datetime import date
from pathlib import Path
from typing import Any

from torqueaudit.model.act import Say
from torqueaudit.model.shown.access import hidden_from
from torqueaudit.model.wrench.acts import Calibrate, NewWrench
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.wrenches.calibrations import calibrate
from torqueaudit.workshop.wrenches.view import show_wrench
from torqueaudit.workshop.wrenches.wrench import add_wrench

LENDER = "the yard next door"
SHORTEST = 3  # characters of a word that stands on a page for no other reason


def hidden(view: Any) -> Iterator[tuple[str, str]]:
    """Each text in a view that a stranger does not see, with the name of its field."""
    if isinstance(view, tuple) and hasattr(view, "_fields"):
        names = hidden_from("stranger", type(view).__name__)
        for name, value in zip(view._fields, view, strict=True):
            yield from ((name, word) for word in words(value)) if name in names else hidden(value)
    elif isinstance(view, tuple):
        for each in view:
            yield from hidden(each)


def words(value: Any) -> Iterator[str]:
    """The texts and days that a value holds."""
    if isinstance(value, tuple):
        for each in value:
            yield from words(each)
    elif isinstance(value, str | date) and len(str(value)) > SHORTEST:
        yield str(value)


def test_a_record_shows_nothing_that_is_hidden_from_a_stranger(
    live: str, get: Callable[..., Any], yard: Any, procedures: Path
) -> None:
    """A job half done, so that there is something to type next."""
    job = yard.open(procedures / "front-wheel.toml")
    page = get(f"{live}r/{yard.token(job)}/record").text
    found = list(hidden(show_job(yard.workshop, job)))

    assert {"digest", "answer"} == {name for name, _ in found}
    # What answers a stop is the name of an act, which may well be a word of a sentence.
    assert [] == [word for name, word in found if name == "digest" and word in page]
    assert "torqueaudit " not in page


def test_a_wrenchs_page_says_that_it_was_overloaded_and_not_where(
    live: str, get: Callable[..., Any], yard: Any, procedures: Path
) -> None:
    """Its number can be guessed, so no job stands on it: the day, and what it was set to."""
    new = NewWrench("setting", "red", "5 N·m", "12 N·m", due_on=date(2031, 12, 31))
    yard.wrench = add_wrench(yard.workshop, new, Say(yard.foreman))
    yard.work(yard.open(procedures / "front-wheel.toml"))
    over = show_wrench(yard.workshop, yard.wrench).overload
    page = " ".join(get(f"{live}w/{yard.wrench}").text.split())

    assert over is not None
    assert {"job", "position", "says"} >= dict(hidden(over)).keys() >= {"position", "says"}
    assert [] == [word for _, word in hidden(over) if word in page]
    assert f"It was used at {over.shown} on {over.on}, above the highest value it reaches" in page
    assert '<p class="big caution">In use</p>' in page


def test_a_wrenchs_page_shows_nothing_that_is_hidden_from_a_stranger(
    live: str, get: Callable[..., Any], yard: Any, procedures: Path, tmp_path: Path
) -> None:
    """A borrowed one with a certificate, found out after it was used."""
    foreman = Say(yard.foreman)
    new = NewWrench("setting", "red", "5 N·m", "200 N·m", owner=LENDER)
    yard.wrench = add_wrench(yard.workshop, new, foreman)
    yard.work(yard.open(procedures / "front-wheel.toml"))
    paper = tmp_path / "certificate.pdf"
    paper.write_bytes(b"%PDF-1.7\n%%EOF\n")
    yard.later(days=1)
    found = Calibrate(date(2031, 4, 3), "C-1", as_found=("20 N·m: 17", "100 N·m: 85"), file=paper)
    calibrate(yard.workshop, yard.wrench, found, foreman)
    view = show_wrench(yard.workshop, yard.wrench)
    page = get(f"{live}w/{yard.wrench}").text

    assert {"owner", "position", "doubt", "paper", "on"} <= dict(hidden(view)).keys()
    assert LENDER in dict(hidden(view)).values()
    own = {str(each.on) for each in view.history}  # the day it was used is also the day of its calibration's eve
    assert [] == [(name, word) for name, word in hidden(view) if word in page and word not in own]
    assert f"{len(view.doubtful)} passes done before it was found outside" in page
