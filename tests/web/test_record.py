"""The record a label opens, as a phone reads it."""

import html
import re
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Measure, Opening
from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.register.token import grouped
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.measurements import measure
from torqueaudit.workshop.jobs.release import hand_over
from torqueaudit.workshop.jobs.steps_and_parts import do_step
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job

if TYPE_CHECKING:
    from tests.web.conftest import Answer, Yard

Get = Callable[..., "Answer"]
MOST = 14_000  # bytes: what a phone gets in its first round trip
MOST_WITH_CHART = 16_000


@pytest.fixture
def drive(procedures: Path) -> Path:
    return procedures / "final-drive.toml"


@pytest.fixture
def twelve(drive: Path, tmp_path: Path) -> Path:
    """The final drive with six sprocket bolts: 12 fasteners."""
    text = drive.read_text(encoding="utf-8")
    five, six = "count = 5\ncross = true", "count = 6\ncross = true"
    assert 1 == text.count(five)
    path = tmp_path / "twelve.toml"
    path.write_text(text.replace(five, six), encoding="utf-8")
    return path


def words(text: str) -> str:
    """What is read on a page."""
    body = text.partition("</style>")[2]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def fastener(text: str, name: str) -> str:
    """The part of a page that is about one fastener."""
    return next(part for part in text.split("<li>") if f"<h3>{name}</h3>" in part)


@pytest.mark.parametrize("write", [str, str.upper, grouped, lambda token: grouped(token).upper().replace("-", "%20")])
@pytest.mark.parametrize("way", ["r/", "R/"])
def test_a_record_opens_however_its_token_is_written(
    live: str, get: Get, yard: "Yard", drive: Path, way: str, write: Callable[[str], str]
) -> None:
    """Capitals as in the QR symbol, groups as printed, spaces as people type."""
    token = yard.token(yard.open(drive))

    answer = get(f"{live}{way}{write(token)}/record")

    assert (200, True) == (answer.status, "<b>Job 1</b>" in answer.text)


def test_twelve_fasteners_stay_under_14_kb_in_every_state(live: str, get: Get, yard: "Yard", twelve: Path) -> None:
    """From a job just opened to one with a disturbed mark, all late and partly undone by a later job."""
    job = yard.open(twelve)
    pages = [get(f"{live}r/{yard.token(job)}/record").text]
    yard.work(job)
    pages.append(get(f"{live}r/{yard.token(job)}/record").text)
    yard.leave(job)
    yard.later(days=40)
    for key in ("sprocket-bolt", "front-sprocket-nut", "rear-axle-nut"):
        yard.mark(job, key, MarkState.DISTURBED)
    pages.append(get(f"{live}r/{yard.token(job)}/record").text)
    yard.loosen(yard.open(twelve, follows=job), "rear-axle-nut")
    pages.append(get(f"{live}r/{yard.token(job)}/record").text)

    assert [12] * 4 == [page.count("<h3>") for page in pages]
    assert [] == [size for page in pages if (size := len(page.encode())) >= MOST]


WEAR = """
[[work]]
measure = "wear"
name = "chain wear"
kind = "chain wear"
max = "0.8 %"
source = "manual"
page = "2-23"

[recheck]"""


def test_a_chart_costs_at_most_two_kb_more(live: str, get: Get, yard: "Yard", twelve: Path) -> None:
    """Wear measured on six jobs, the last worked through; its chain has a key of its own, so no new one begins."""
    text = twelve.read_text(encoding="utf-8").replace("\n[recheck]", WEAR)
    text = text.replace('fit = "chain"', 'fit = "chain-set"').replace('after = ["chain"]', 'after = ["chain-set"]')
    twelve.write_text(text, encoding="utf-8")
    job = yard.open(twelve)
    for number in range(5):
        inputs = (("pins", "19"), ("length", f"286.{2 + number // 2} mm"))
        measure(yard.workshop, job, "wear", Measure(inputs=inputs), Say(yard.mechanic))
        yard.later(days=1)
        opening = Opening(yard.vehicle, yard.workshop.record(job).digest, 13_000_000 + number * 1_000_000, second=True)
        job = open_job(yard.workshop, opening, Say(yard.foreman))
    yard.work(job)
    page = get(f"{live}r/{yard.token(job)}/record").text

    assert (12, 1) == (page.count("<h3>"), page.count("<svg viewBox="))
    assert len(page.encode()) < MOST_WITH_CHART, len(page.encode())


def test_a_record_holds_no_personal_data_and_no_script(
    live: str, get: Get, yard: "Yard", personal: tuple[str, ...], left: str
) -> None:
    """Names, plate, frame number and contact stay in the workshop; people are numbers."""

    text = get(f"{live}r/{yard.token(left)}/record").text

    assert [] == [word for word in personal if word in text]
    assert [] == re.findall(r"<script|javascript:|\son\w+=|\sstyle=|https?://(?!www\.w3\.org/2000/svg)", text)
    assert "P-2 · 2031-04-02 09:40 · W-1" in text


def test_a_card_is_read_in_its_order(live: str, get: Get, yard: "Yard", drive: Path, left: str) -> None:
    """How it stands now comes first, what is struck and measured last."""
    yard.later(days=20)
    yard.mark(left, "rear-axle-nut", MarkState.DISTURBED)
    yard.loosen(yard.open(drive, follows=left), "front-sprocket-nut")

    text = get(f"{live}r/{yard.token(left)}/record").text

    expected = [
        "Now",
        "This job",
        "History since",
        "Due",
        "Stops and cautions",
        "Fasteners",
        "What the re-check may turn",
        "Looking after the chain",
        "Last re-check",
        "Also recorded",
        "Warnings",
    ]
    assert expected == re.findall("<h2>(.*?)</h2>", text)
    assert "front sprocket nut: undone on 2031-04-23, see job 2" in words(text)
    assert "Handed over 1 stop: put right before it leaves again." in words(text)
    assert "Re-check In hand, due by 2031-04-17 or at 12100 km, whichever comes first." in words(text)
    assert "rear axle nut: the witness mark is disturbed. Photograph" in words(text)
    assert "True when the vehicle left on 2031-04-03; others may have worked on it since." in words(text)
    assert str(yard.workshop.book.head()) in text


def test_what_was_undone_is_not_shown_as_current(live: str, get: Get, yard: "Yard", drive: Path, left: str) -> None:
    """The large words say how it stands now, and by which job; neither its mark nor its check stands."""
    yard.later(days=2)
    yard.loosen(yard.open(drive, follows=left), "rear-axle-nut")

    line = fastener(get(f"{live}r/{yard.token(left)}/record").text, "rear axle nut")

    assert 'href="#n"' in line
    assert '<p class="t">loosened<small>Specified 108 N·m' in line
    assert "job 2, signed by nobody" in line
    assert "not marked" in line
    assert "checked by" not in line


@pytest.mark.parametrize(
    ("state", "why", "drawing"),
    [
        (MarkState.INTACT, "", "i"),
        (MarkState.DISTURBED, "", "d"),
        (MarkState.UNREADABLE, "", "u"),
        (MarkState.NOT_MARKED, "", "n"),
        (MarkState.NOT_SEEN, "covered in mud", "s"),
    ],
)
def test_a_mark_has_its_drawing_and_its_word(
    live: str, get: Get, yard: "Yard", drive: Path, state: MarkState, why: str, drawing: str
) -> None:
    """Each state by shape and by word, so that nobody has to tell colours apart."""
    job = yard.open(drive)
    yard.work(job)
    yard.mark(job, "rear-axle-nut", state, why)

    text = get(f"{live}r/{yard.token(job)}/record").text

    assert f'<use href="#{drawing}"/></svg>' in fastener(text, "rear axle nut")
    assert state.value in fastener(text, "rear axle nut")
    assert f'<symbol id="{drawing}"' in text


def test_every_fastener_says_specified_applied_who_and_check(live: str, get: Get, yard: "Yard", drive: Path) -> None:
    """One line of the card in full."""
    job = yard.open(drive)
    yard.work(job)

    line = words("</style>" + fastener(get(f"{live}r/{yard.token(job)}/record").text, "rear sprocket bolt 3"))

    expected = (
        "intact 2031-04-02 rear sprocket bolt 3 50 N·m Specified 47 … 53 N·m "
        "P-2 · 2031-04-02 09:40 · W-1 checked by P-1: mark seen"
    )
    assert expected == line


def test_a_withdrawn_job_says_so_first(live: str, get: Get, yard: "Yard", drive: Path) -> None:
    """Nobody goes by a card that was withdrawn."""
    job = yard.open(drive)
    opening = yard.workshop.record(job).opened.entry
    strike(yard.workshop, job, opening, "opened on the wrong motorcycle", Say(yard.foreman))

    read = words(get(f"{live}r/{yard.token(job)}/record").text)

    assert read.index("Do not go by this card opened on the wrong motorcycle") < read.index("This job ")
    assert "Due Nothing The job was withdrawn." in read


def test_a_vehicle_that_left_unreleased_is_told(live: str, get: Get, yard: "Yard", drive: Path) -> None:
    """Handed over with every stop standing: all of them are shown, none folded away."""
    job = yard.open(drive)
    hand_over(yard.workshop, job, 12_000_000, Say(yard.foreman), "towed")
    stops = show_job(yard.workshop, job).stops

    text = get(f"{live}r/{yard.token(job)}/record").text

    assert '<p class="big stop">Handed over, never released</p>' in text
    assert f"{len(stops)} stops on the road. Do not ride before a look." in text
    assert len(stops) == text.partition("<h2>Stops and cautions</h2>")[2].partition("</ul>")[0].count("<li>")


def test_a_job_rechecked_has_nothing_due(live: str, get: Get, yard: "Yard", left: str) -> None:
    """The last re-check is told with its day and by whom."""
    yard.later(days=5)
    yard.recheck(left)

    read = words(get(f"{live}r/{yard.token(left)}/record").text)

    assert "This job Re-checked" in read
    assert "Due Nothing The re-check was done on 2031-04-08 by P-2." in read
    assert "Last re-check 2031-04-08 by P-2." in read


def test_the_label_of_a_job_done_with_says_what_a_later_job_waits_for(
    live: str, get: Get, yard: "Yard", drive: Path, left: str
) -> None:
    """Whoever scans the older label must not read that nothing is due."""
    first = left
    yard.later(days=5)
    yard.recheck(first)
    second = yard.open(drive, at_m=12_100_000)
    yard.work(second)
    yard.leave(second, 12_100_000)

    read = words(get(f"{live}r/{yard.token(first)}/record").text)

    assert f"Due Re-check Of job {second}: due by 2031-" in read


def test_a_repair_that_another_job_waits_for_is_due_on_every_label(
    live: str, get: Get, yard: "Yard", drive: Path, procedures: Path
) -> None:
    """Whether a job waits for its own re-check or for nothing: nobody who reads its label rides."""
    repair, waiting, idle = (
        yard.open(each) for each in (drive, procedures / "front-wheel.toml", procedures / "drive-jerks.toml")
    )
    yard.work(repair)
    yard.leave(repair)
    yard.later(days=5)
    yard.recheck(repair)
    yard.work(waiting)
    yard.leave(waiting, 12_090_000)
    yard.mark(repair, "rear-axle-nut", MarkState.DISTURBED)

    said = [words(get(f"{live}r/{yard.token(job)}/record").text) for job in (waiting, idle)]

    due = f"Due A repair Of job {repair}: the re-check of 2031-04-08 left a stop standing: do not ride"
    assert [True, True] == [due in each for each in said], said


def test_the_re_check_that_is_late_is_told_before_one_that_is_not(
    live: str, get: Get, yard: "Yard", drive: Path, procedures: Path
) -> None:
    """On each label of the vehicle, though the other job is the older one."""
    early, late, idle = (
        yard.open(each) for each in (procedures / "front-wheel.toml", drive, procedures / "drive-jerks.toml")
    )
    yard.work(late)
    yard.leave(late)
    yard.later(days=40)
    yard.arrive()
    yard.work(early)
    yard.leave(early)

    said = [words(get(f"{live}r/{yard.token(job)}/record").text) for job in (early, idle)]

    due = f"Due Re-check Of job {late}: due by 2031-04-17 or at 12100 km, whichever comes first. Late by 27 days"
    assert [True, True] == [due in each for each in said], said


def test_nobody_waits_for_a_recheck_that_is_not_asked_for(live: str, get: Get, yard: "Yard", drive: Path) -> None:
    """Neither before the vehicle leaves nor after it."""
    search, changed = yard.open(drive.with_name("drive-jerks.toml")), yard.open(drive)
    said = [words(get(f"{live}r/{yard.token(job)}/record").text) for job in (search, changed)]

    assert "Due Nothing The procedure asks for no re-check." in said[0]
    assert [False, True] == ["Last re-check None yet." in each for each in said]
    assert "Due Nothing yet A re-check counts from the day the vehicle leaves." in said[1]


def test_a_re_check_that_found_a_stop_leaves_something_due(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Done is not good: whoever rides it must not read that nothing is due."""
    yard.later(days=5)
    yard.recheck(left)
    yard.mark(left, "rear-axle-nut", MarkState.DISTURBED)

    read = words(get(f"{live}r/{yard.token(left)}/record").text)

    assert "Due A repair The re-check of 2031-04-08 left a stop standing: do not ride, call the workshop." in read


def test_an_open_job_says_what_comes_next_and_folds_most_stops(live: str, get: Get, yard: "Yard", drive: Path) -> None:
    """Most stops of an open job are work still to come."""
    job = yard.open(drive)
    view = show_job(yard.workshop, job)

    text = get(f"{live}r/{yard.token(job)}/record").text

    assert f"{len(view.stops)} stops: no release yet." in text
    assert f"Next: {view.next[0]}." in text
    assert f"{len(view.stops) - 4} more stops" in text
    assert [] == [stop.says for stop in view.stops if " ".join(stop.says.split()) not in words(text)]


@pytest.mark.parametrize("settings", [{"zone": "UTC", "base_address": "http://bench.example", "demo": True}])
def test_a_demo_says_so_on_its_pages(live: str, get: Get, yard: "Yard", drive: Path) -> None:
    """The form and the record both."""
    token = yard.token(yard.open(drive))

    assert [True, True] == ["DEMO: an invented workshop" in get(live + path).text for path in ("", f"r/{token}/record")]


def test_a_book_that_is_no_demo_does_not_say_so(live: str, get: Get, yard: "Yard", drive: Path) -> None:
    """The banner belongs to the demo alone."""
    token = yard.token(yard.open(drive))

    assert [False, False] == ["DEMO" in get(live + path).text for path in ("", f"r/{token}/record")]


SEARCH = """
format = 1
name = "jerks"
title = "Jerks in the drive"
edition = "1"
[[work]]
step = "teeth"
name = "teeth of the front sprocket"
says = "Look."
look = true
"""


def test_what_another_job_found_is_put_right_once_this_one_is_released(
    live: str, get: Get, yard: "Yard", drive: Path, tmp_path: Path
) -> None:
    """A standing fault before, below the fasteners and in other words after; what is found later stands again."""
    (tmp_path / "jerks.toml").write_text(SEARCH, encoding="utf-8")
    search = yard.open(tmp_path / "jerks.toml")
    do_step(yard.workshop, search, "teeth", "fault", "hooked", Say(yard.mechanic))
    job = yard.open(drive, follows=search)
    yard.work(job)
    headings = ("<h2>Carried over from job 1</h2>", "<h2>Put right here, found on job 1</h2>", "<h2>Fasteners</h2>")
    before = get(f"{live}r/{yard.token(job)}/record").text
    yard.leave(job)
    after = get(f"{live}r/{yard.token(job)}/record").text
    yard.later(days=1)
    do_step(yard.workshop, search, "teeth", "fault", "hooked anew", Say(yard.mechanic))
    anew = get(f"{live}r/{yard.token(job)}/record").text

    assert [(True, False), (False, True), (True, False)] == [
        tuple(heading in page for heading in headings[:2]) for page in (before, after, anew)
    ]
    assert before.index(headings[0]) < before.index(headings[2])
    assert after.index(headings[2]) < after.index(headings[1]) < after.index("fault found (hooked)")
    assert [] == [size for page in (before, after, anew) if (size := len(page.encode())) >= MOST]
