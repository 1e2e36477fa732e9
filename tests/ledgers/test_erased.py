"""Every word of the newest ledger is erased: whatever was shown is shown all the same, with none of them in it."""

import json
import runpy
from collections.abc import Iterator
from contextlib import chdir, redirect_stdout
from datetime import date, datetime
from io import StringIO
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import pytest
from packaging.version import Version

from torqueaudit.book import queries
from torqueaudit.book.words import rows_after
from torqueaudit.cli.life_sheet import lines_of as life_lines
from torqueaudit.cli.then_sheet import lines_of as then_lines
from torqueaudit.model.act import Say
from torqueaudit.reports.html import nightly_html
from torqueaudit.web.app import create_app
from torqueaudit.workshop.door.ledger import faults, ledger_entries
from torqueaudit.workshop.door.lists import people
from torqueaudit.workshop.door.words import erase_words
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.life.job_then import show_job_then
from torqueaudit.workshop.life.life import show_life
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.opening import open_workshop
from torqueaudit_plugins.qr_labels.kinds import job_label, owners_tag

HERE = Path(__file__).parent
NEWEST = max((each.parent for each in HERE.glob("*/head.json")), key=lambda kept: Version(kept.name))
HEAD: dict[str, Any] = json.loads((NEWEST / "head.json").read_text(encoding="utf-8"))
AT = datetime.fromisoformat(HEAD["at"])
SHOW = runpy.run_path(str(HERE / "show.py"))


class Erased(NamedTuple):
    """The book of the newest ledger once all of its words are erased, what they were, and what was shown before."""

    workshop: Workshop
    words: set[str]
    before: str


@pytest.fixture(scope="module")
def erased(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Erased]:
    """That book, open in the folder that is entered; nobody records anything more in it."""
    with chdir(tmp_path_factory.mktemp("erased")):
        SHOW["load"](NEWEST, HEAD)
        with open_workshop(SHOW["BOOK"], clock=lambda: AT, chance=Random(1)) as workshop:
            yield erase_all(workshop)


def erase_all(workshop: Workshop) -> Erased:
    """Erase every word, once everything was shown."""
    with redirect_stdout(StringIO()) as before:
        SHOW["show"](workshop, HEAD)
    rows = [row for row in rows_after(workshop.book.engine, 0) if row.text]
    erase_words(workshop, [row.entry for row in rows], "all of them", Say("P-1"))
    return Erased(workshop, {row.text for row in rows if row.text}, before.getvalue())


def told_of(shown: str, words: set[str]) -> list[str]:
    """Which of these words stand in a text, however it is broken into lines; short ones that are anybody's left out."""
    text = " ".join(shown.split()).casefold()
    return sorted(each for each in words if len(each) > len("rattles") and each.casefold() in text)


def test_everything_is_shown_without_the_words(erased: Erased, capsys: pytest.CaptureFixture[str]) -> None:
    """Jobs, passes, wrenches and nights, by every rule and every plugin, with the same findings on the same entries."""
    workshop, words, before = erased
    SHOW["show"](workshop, HEAD)
    shown = capsys.readouterr().out
    gone = f"words erased on {AT.date()} by p-1"

    assert len(words) > 25
    assert len(told_of(before, words)) > 10
    assert [] == told_of(shown, words)
    assert shown.casefold().count(gone) > 15
    assert counted(before) == counted(shown)
    assert [] == faults(workshop, HEAD["head"])


def counted(shown: str) -> dict[str, int]:
    """How many lines begin with each of these words."""
    starts = [line.strip().partition(":")[0].partition(" ")[0] for line in shown.splitlines()]
    return {word: starts.count(word) for word in ("STOP", "CAUTION", "NOTE", "job", "$")}


def test_pages_labels_and_the_report_are_made_without_the_words(erased: Erased) -> None:
    """What a stranger opens, what is printed, and what the foreman reads in the morning."""
    workshop, words, _ = erased
    jobs = queries.jobs_list(workshop.book)
    made = [nightly_html(night_of(workshop, date.fromisoformat(night))) for night in HEAD["nights"]]
    made += [repr(job_label(show_job(workshop, str(row.job)), workshop.settings)) for row in jobs]
    made.append(repr(owners_tag(show_job(workshop, "9"), workshop.settings)))
    with create_app(Path(SHOW["BOOK"]), lambda: AT, Random(3)) as app:
        pages = [app.test_client().get(f"/r/{row.token}{page}") for row in jobs for page in ("", "/record")]

    assert {200} == {page.status_code for page in pages}
    assert [] == told_of("\n".join([*made, *(page.text for page in pages)]), words)


def test_the_past_is_told_without_the_words(erased: Erased) -> None:
    """What was erased since stays erased in the life of each motorcycle, and in each job as it stood before that."""
    workshop, words, _ = erased
    last = HEAD["head"].split("/")[1]
    lives = [line for row in queries.vehicles(workshop.book) for line in life_lines(show_life(workshop, row.vehicle))]
    jobs = [show_job_then(workshop, str(row.job), int(last)) for row in queries.jobs_list(workshop.book)]
    told = "\n".join([*lives, *(line for each in jobs for line in then_lines(each))])

    assert [] == told_of(told, words)
    assert f"words erased on {AT.date()} by P-1" in told


def test_no_entry_ever_held_one_of_the_words(erased: Erased) -> None:
    """Nor does one that names who has left, or a procedure that was read."""
    workshop, words, _ = erased

    assert [] == told_of(repr(ledger_entries(workshop, 1, None)), words - {"all of them"})
    assert [] == told_of(repr(people(workshop)), words)
