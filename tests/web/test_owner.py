"""The owner's page of a label, and what is told there without an account, over real HTTP."""

import html
import re
from collections.abc import Callable
from datetime import date
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING, NamedTuple
from urllib.parse import urlencode

import pytest
import vobject

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Permission, Postponement
from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.job.road import Ride
from torqueaudit.model.register.token import new_token
from torqueaudit.model.vehicle.instrument import Hours, Instrument, Run
from torqueaudit.workshop.jobs.concessions import concede
from torqueaudit.workshop.jobs.fasteners import see_mark
from torqueaudit.workshop.jobs.release import hand_over
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.arranging import postpone_recheck, refer_recheck, refuse_recheck
from torqueaudit.workshop.recheck.road import recheck, report_ride
from torqueaudit.workshop.vehicles.gone import gone

if TYPE_CHECKING:
    from tests.web.conftest import Answer, Yard

Get = Callable[..., "Answer"]
MOST = 10_000  # bytes of a page that works on the oldest phone, at the end of the worst line
MOST_TRIED = 600
TELEPHONE = "+99 555 00 00"


@pytest.fixture
def settings() -> dict[str, object]:
    return {"zone": "Europe/Vienna", "base_address": "http://bench.example", "telephone": TELEPHONE}


@pytest.fixture
def drive(procedures: Path) -> Path:
    return procedures / "final-drive.toml"


class Owners(NamedTuple):
    """A workshop, and how its pages are asked for."""

    live: str
    get: Get
    yard: "Yard"


@pytest.fixture
def owners(live: str, get: Get, yard: "Yard") -> Owners:
    return Owners(live, get, yard)


def words(text: str) -> str:
    """What is read on a page."""
    body = text.partition("</style>")[2]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def send(get: Get, address: str, **fields: str) -> "Answer":
    """Send a form as a stranger's browser does."""
    return get(address, data=urlencode(fields).encode())


def ridden(get: Get, live: str, token: str, odometer: str, unit: str = "km", **more: str) -> "Answer":
    """Tell the odometer."""
    return send(get, f"{live}r/{token}/ridden", odometer=odometer, odometer_unit=unit, **more)


@pytest.mark.parametrize(
    ("by", "run", "says", "asks"),
    [
        (
            Instrument.MILES,
            12_070_080,
            "or at 7 562 mi Whichever comes first. The miles are",
            "The odometer shows, in mi",
        ),
        (Instrument.HOURS, Hours(7_110), "by Thursday 17 April New parts", "The hour meter shows, in h"),
        (Instrument.NONE, None, "by Thursday 17 April New parts", ""),
    ],
)
def test_an_owner_is_told_and_asked_by_their_own_instrument(
    owners: Owners, drive: Path, by: Instrument, run: Run | None, says: str, asks: str
) -> None:
    """Where there is none, nothing is asked, and the day alone is said."""
    yard = owners.yard
    job = yard.open(drive, by=by)
    yard.work(job)
    yard.leave(job, run)
    token = yard.token(job)
    text = " ".join(words(owners.get(f"{owners.live}r/{token}").text).split())

    assert says in text.replace("\xa0", " "), text
    assert asks in text
    assert bool(asks) == ("I have ridden" in text)
    if asks:
        told = ridden(owners.get, owners.live, token, {"mi": "7510", "h": "119.5"}[by.unit], by.unit)
        assert f"Your {by.figures} are noted." in words(told.text)


def test_the_page_is_read_in_its_order(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Whether to ride comes first, the workshop's record last."""
    text = get(f"{live}r/{yard.token(left)}").text

    expected = [
        "May I ride?",
        "When to come back",
        "Look before you ride",
        "Call us",
        "I have ridden",
        "Ask for a day",
        "Somebody loosened it",
    ]
    read = words(text)
    assert expected == re.findall("<h2>(.*?)</h2>", text)
    assert "You may ride Nothing speaks against it, as far as we know." in read
    assert "by Thursday 17 April or at 12 100 km Whichever comes first." in read
    assert "each of these: 5 × rear sprocket bolt; rear caliper carrier bolt;" in read
    assert read.endswith("The workshop's record of this job")
    assert f'href="tel:+995550000">Call {TELEPHONE}<' in text


def test_nothing_of_the_inside_stands_on_it(
    live: str, get: Get, yard: "Yard", left: str, personal: tuple[str, ...]
) -> None:
    """No person, wrench, torque or finding; no script, and nothing from elsewhere."""
    see_mark(yard.workshop, left, "rear-axle-nut", MarkState.DISTURBED, "", Say("owner"))
    text = get(f"{live}r/{yard.token(left)}").text
    inside = (*personal, "P-1", "P-2", "W-1", "N·m", "Job 1", "witness mark", str(yard.workshop.book.head()))

    assert [] == [word for word in inside if word in text]
    assert [] == re.findall(r"<script|javascript:|\son\w+=|\sstyle=|https?://(?!www\.w3\.org/2000/svg)", text)


def test_it_stays_under_10_kb_in_every_state(live: str, get: Get, yard: "Yard", drive: Path, procedures: Path) -> None:
    """Also with two jobs on it, all that may be told, and a refusal at the top."""
    first = yard.open(drive)
    pages = [get(f"{live}r/{yard.token(first)}").text]
    yard.work(first)
    second = yard.open(procedures / "front-wheel.toml")
    yard.work(second)
    yard.leave(first)
    yard.leave(second)
    token = yard.token(first)
    pages.append(get(f"{live}r/{token}").text)
    yard.later(days=40)
    pages.append(ridden(get, live, token, "1").text)
    see_mark(yard.workshop, first, "rear-axle-nut", MarkState.DISTURBED, "", Say("owner"))
    pages.append(get(f"{live}r/{token}").text)

    assert [] == [size for page in pages if (size := len(page.encode())) >= MOST], [len(p.encode()) for p in pages]


@pytest.mark.parametrize(
    ("days", "expected"),
    [
        (0, "You may ride Nothing speaks against it, as far as we know. Look first, as shown below."),
        (14, "Come back It is time for the re-check."),
        (40, "Come back The re-check is overdue. Call us, and ride no farther than to us."),
    ],
)
def test_it_says_whether_to_ride(live: str, get: Get, yard: "Yard", left: str, days: int, expected: str) -> None:
    """By the same state that every other door says."""
    yard.later(days=days)

    assert f"May I ride? {expected}" in words(get(f"{live}r/{yard.token(left)}").text)


def test_whoever_may_not_ride_is_told_to_call(live: str, get: Get, yard: "Yard", left: str) -> None:
    """The telephone stands right below the sentence, and not which stop it is."""
    see_mark(yard.workshop, left, "rear-axle-nut", MarkState.DISTURBED, "", Say("owner"))
    read = words(get(f"{live}r/{yard.token(left)}").text)

    expected = f"Do not ride Something on it has to be looked at first. Call us. Call {TELEPHONE}"
    assert f"May I ride? {expected} When to come back Call us first The re-check is due by Thursday 17 April" in read
    assert 1 == read.count(f"Call {TELEPHONE}")


def test_what_is_due_is_said_as_it_is(live: str, get: Get, yard: "Yard", left: str) -> None:
    """On the day itself it is due today; ridden past its distance it was due there, with no day for a calendar."""
    address = f"{live}r/{yard.token(left)}"
    yard.later(days=14)
    today = words(get(address).text)
    yard.later(days=1)

    assert "When to come back Now The re-check is due today, Thursday 17 April." in today
    assert "Now The re-check was due by Thursday 17 April or at 12 100 km." in words(get(address).text)


def test_a_distance_ridden_is_due_before_its_day(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Days before the day of the calendar."""
    yard.later(days=1)
    text = ridden(get, live, yard.token(left), "12105").text

    assert "When to come back Now The re-check was due at 12 100 km." in words(text)
    assert "re-check.ics" not in text


@pytest.mark.parametrize(
    ("days", "on", "says"),
    [
        (0, "2031-04-17", "Tell us how far, so that we know when it is due."),
        (14, "2031-04-18", "Tell us what the odometer shows now."),
        (40, "2031-05-14", "Tell us what the odometer shows now."),
    ],
)
def test_whoever_is_late_is_offered_the_next_day(
    live: str, get: Get, yard: "Yard", left: str, days: int, on: str, says: str
) -> None:
    """Not the last one that may be asked for; and nobody asks when it is due."""
    yard.later(days=days)
    text = get(f"{live}r/{yard.token(left)}").text

    assert f'value="{on}"' in text
    assert says in words(text)


def test_where_no_re_check_is_planned_the_page_still_says_to_look(
    live: str, get: Get, yard: "Yard", drive: Path, tmp_path: Path
) -> None:
    """Nobody has to come back, and nothing says that a look before a ride is not needed."""
    plan = re.sub(r"(?ms)^\[recheck\].*?(?=^\[|\Z)", "", drive.read_text(encoding="utf-8"))
    bare = tmp_path / "bare.toml"
    bare.write_text(plan, encoding="utf-8")
    job = yard.open(bare)

    yard.work(job)
    yard.leave(job)
    assert "Nothing is due You need not come back for a re-check." in words(get(f"{live}r/{yard.token(job)}").text)


@pytest.mark.parametrize("told", ["ridden", "day", "loosened", "nothing"])
def test_nothing_is_noted_where_nothing_was_told(live: str, get: Get, yard: "Yard", left: str, told: str) -> None:
    """Whoever opens the address of an answer reads no thanks above a page that knows nothing of it."""
    assert "noted" not in words(get(f"{live}r/{yard.token(left)}?told={told}").text)


def test_beside_do_not_ride_stands_nothing_that_speaks_of_a_ride(live: str, get: Get, yard: "Yard", left: str) -> None:
    """No limit of a ride that was permitted before, and no day for a calendar; a file of it says to call first."""
    yard.mark(left, "rear-axle-nut", MarkState.UNREADABLE, "chain grease")
    found = next(each for each in show_job(yard.workshop, left).stops if each.concedable)
    permission = Permission(
        rule=found.rule,
        subject=found.about.key,
        basis="by torque",
        limit="no more than 50 km",
        expires_on=yard.workshop.today(),
    )
    concede(yard.workshop, left, permission, Say(yard.foreman))
    hand_over(yard.workshop, left, 12_050_000, Say(yard.foreman))
    address = f"{live}r/{yard.token(left)}"
    send(get, f"{address}/loosened", place="", why="unknown")
    text = get(address).text
    event = vobject.readOne(get(f"{address}/re-check.ics").text).vevent

    assert "May I ride? Do not ride" in words(text)
    assert [] == [each for each in ("no more than 50 km", "re-check.ics") if each in text]
    assert "Do not ride: call us first." in event.description.value
    assert "before you ride" not in event.description.value


def test_what_is_in_the_workshop_is_not_ridden(live: str, get: Get, yard: "Yard", drive: Path, left: str) -> None:
    """Never handed over, or here again: nothing can be told of it either."""
    new = words(get(f"{live}r/{yard.token(yard.open(drive, follows=left))}").text)
    here = get(f"{live}r/{yard.token(left)}").text

    says = "Do not ride It is in the workshop, and the work on it is not finished."
    assert [True, True] == [says in each for each in (new, words(here))]
    assert "When to come back We tell you then The day is set when you fetch it." in words(here)
    assert "<form" not in here


def test_a_vehicle_that_left_unsigned_is_not_ridden(live: str, get: Get, yard: "Yard", drive: Path) -> None:
    """Whatever the reason, the owner reads one sentence."""
    job = yard.open(drive)
    yard.work(job)
    hand_over(yard.workshop, job, 12_000_000, Say(yard.foreman), "towed")

    assert "May I ride? Do not ride" in words(get(f"{live}r/{yard.token(job)}").text)


def test_every_label_of_a_vehicle_says_the_first_day(
    live: str, get: Get, yard: "Yard", procedures: Path, left: str
) -> None:
    """The label of a job that is done with, and that of one that is due later, say what comes first."""
    first = left
    yard.later(days=3)
    yard.arrive()
    second = yard.open(procedures / "front-wheel.toml")
    yard.work(second)
    yard.leave(second)
    idle = yard.open(procedures / "drive-jerks.toml")
    strike(yard.workshop, idle, yard.workshop.record(idle).opened.entry, "the wrong motorcycle", Say(yard.foreman))

    read = [words(get(f"{live}r/{yard.token(job)}").text) for job in (first, second, idle)]

    assert [True] * 3 == ["When to come back by Thursday 17 April" in each for each in read], read


def test_what_is_done_with_asks_for_nothing(live: str, get: Get, yard: "Yard", left: str) -> None:
    """After the re-check nothing is due, and there is no day for a calendar."""
    yard.later(days=5)
    yard.recheck(left)
    hand_over(yard.workshop, left, 12_090_000, Say(yard.foreman))
    address = f"{live}r/{yard.token(left)}"

    text = get(address).text
    assert "When to come back Nothing is due The re-check was done." in words(text)
    assert "re-check.ics" not in text
    assert 404 == get(f"{address}/re-check.ics").status
    assert 422 == ridden(get, live, yard.token(left), "12095").status


def test_one_that_is_gone_is_not_waited_for(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Sold: nobody is asked to come back to us."""
    gone(yard.workshop, yard.vehicle, "sold", Say(yard.foreman))

    read = words(get(f"{live}r/{yard.token(left)}").text)
    assert "Not with us Its re-check was never done, and we no longer look after it." in read


REFUSED = "Come back The re-check was not done and is overdue. Call us, or have it done by another workshop, before you"
REFERRED = "Come back The re-check at the other workshop is overdue: ride no farther than there."
GONE = "We do not know We no longer look after it, and its re-check was never done."


def arrange(yard: "Yard", job: str, what: str) -> None:
    """Record that nobody waits for a re-check here, and why."""
    say = Say(yard.foreman)
    if what == "refused":
        refuse_recheck(yard.workshop, job, "no time", say)
    elif what == "referred":
        refer_recheck(yard.workshop, job, "the workshop in the next valley", "it is nearer", say)
    else:
        gone(yard.workshop, yard.vehicle, "sold", say)


@pytest.mark.parametrize(
    ("arranged", "today", "late"),
    [
        ("refused", "Come back It is time for the re-check. Call us, or have it done by another workshop.", REFUSED),
        ("referred", "Come back It is time for the re-check at the other workshop.", REFERRED),
        ("gone", GONE, GONE),
    ],
)
def test_what_was_arranged_never_makes_an_overdue_re_check_safe(
    live: str, get: Get, yard: "Yard", left: str, arranged: str, today: str, late: str
) -> None:
    """Whoever does not come to us rides on work that nobody looked at again, and reads so on every label."""
    arrange(yard, left, arranged)
    read = []
    for days in (14, 1, 30):
        yard.later(days=days)
        read.append(words(get(f"{live}r/{yard.token(left)}").text))

    expected = [today, late, late]
    assert [True] * 3 == [f"May I ride? {says}" in each for says, each in zip(expected, read, strict=True)], read
    assert [] == [each for each in read if "You may ride" in each or "Nothing is due" in each]


@pytest.mark.parametrize(
    ("arranged", "due"),
    [
        ("refused", "Due Re-check Refused by the owner on 2031-04-03. Late by 2 days"),
        (
            "referred",
            "Due Re-check Handed to another workshop, due by 2031-04-17 or at 12100 km, whichever comes first. Late",
        ),
        ("gone", "Due Nothing The vehicle will not come back. Its re-check was never done."),
    ],
)
def test_the_record_says_so_too(live: str, get: Get, yard: "Yard", left: str, arranged: str, due: str) -> None:
    """Also to the mechanic: one function decides what is due."""
    arrange(yard, left, arranged)
    yard.later(days=16)

    assert due in words(get(f"{live}r/{yard.token(left)}/record").text)


def test_a_distance_ridden_past_is_overdue_at_the_other_workshop(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Before it the page keeps the day and the distance, behind it the owner rides no farther than there."""
    refer_recheck(yard.workshop, left, "the workshop in the next valley", "it is nearer", Say(yard.foreman))
    before = words(get(f"{live}r/{yard.token(left)}").text)
    yard.later(days=1)
    report_ride(yard.workshop, left, 12_310_000, "", Say("owner"))

    assert "May I ride? You may ride" in before
    assert "At another workshop They do the re-check." in before
    assert "by Thursday 17 April or at 12 100 km" in before
    assert f"May I ride? {REFERRED}" in words(get(f"{live}r/{yard.token(left)}").text)


def test_a_limit_of_a_concession_is_told_to_who_rides(live: str, get: Get, yard: "Yard", left: str) -> None:
    """What the foreman permitted holds for the ride, so the rider reads it."""
    yard.mark(left, "rear-axle-nut", MarkState.UNREADABLE, "chain grease")
    found = next(each for each in show_job(yard.workshop, left).stops if each.concedable)
    permission = Permission(
        rule=found.rule,
        subject=found.about.key,
        basis="looked at by torque",
        limit="no more than 50 km",
        expires_on=yard.workshop.today(),
    )
    concede(yard.workshop, left, permission, Say(yard.foreman))
    hand_over(yard.workshop, left, 12_050_000, Say(yard.foreman))

    assert "Keep to this: no more than 50 km." in words(get(f"{live}r/{yard.token(left)}").text)


def test_the_record_keeps_its_own_address(live: str, get: Get, yard: "Yard", left: str) -> None:
    """One link away, for the mechanic too who has not signed in."""
    token = yard.token(left)
    address = re.search(r'href="([^"]+)">The workshop', get(f"{live}r/{token}").text)
    assert address

    assert f"{live}r/{token}/record" == f"{live}{address[1].removeprefix('../')}"
    assert "<b>Job 1</b>" in get(f"{live}r/{token}/record").text


def test_the_calendar_has_the_day(live: str, get: Get, yard: "Yard", left: str) -> None:
    """An event of that day, the same one however often it is asked for, and with the label's address."""
    address = f"{live}r/{yard.token(left)}/re-check.ics"
    once, again = get(address), get(address)
    event = vobject.readOne(once.text).vevent

    assert "text/calendar; charset=utf-8" == once.headers["Content-Type"]
    assert "20310417" == event.dtstart.value.strftime("%Y%m%d")
    assert "or at 12\xa0100\xa0km" in event.description.value
    assert f"http://bench.example/r/{yard.token(left)}" == event.url.value
    assert event.uid.value == vobject.readOne(again.text).vevent.uid.value


def test_a_re_check_put_off_moves_in_the_calendar(live: str, get: Get, yard: "Yard", left: str) -> None:
    """The same event on the new day, with a higher sequence, so that a calendar takes it for the later word."""
    address = f"{live}r/{yard.token(left)}/re-check.ics"
    before = vobject.readOne(get(address).text).vevent
    act = Postponement(date(2031, 5, 2), None, "the owner is abroad")
    postpone_recheck(yard.workshop, left, act, Say(yard.foreman))
    after = vobject.readOne(get(address).text).vevent

    assert (before.uid.value, date(2031, 5, 2)) == (after.uid.value, after.dtstart.value)
    assert int(after.sequence.value) > int(before.sequence.value)


def test_kilometres_bring_the_re_check_forward(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Ridden past its distance it is due, whatever the day says; the entry says by which door it came."""
    answer = ridden(get, live, yard.token(left), "12105")
    told = yard.workshop.record(left).facts[-1].noted.entry
    entry = yard.workshop.book.entry(told)

    assert (200, True) == (answer.status, "Your kilometres are noted. Thank you." in words(answer.text))
    assert "May I ride? Come back It is time for the re-check." in words(answer.text)
    assert entry
    assert ("ridden.2", "owner", "page", "label") == (
        entry.kind,
        entry.who,
        entry.judged["door"],
        entry.judged["proof"],
    )


def test_a_form_sent_twice_is_noted_once(live: str, get: Get, yard: "Yard", left: str) -> None:
    """A second tap where the network is slow."""
    address = f"{live}r/{yard.token(left)}"
    own = re.search(r'name="id" value="([0-9a-f]{32})"', get(address).text)
    assert own
    answers = [ridden(get, live, yard.token(left), "12050", id=own[1]) for _ in range(2)]
    other = ridden(get, live, yard.token(left), "12051", id=own[1])

    assert [200, 200, 409] == [each.status for each in (*answers, other)]
    assert [12_050_000] == [each.odometer_m for each in yard.workshop.record(left).of(Ride)]


@pytest.mark.parametrize("odometer", ["11000", "1", "99999999", "twelve", "", "120000", "12.050"])
def test_a_false_odometer_is_refused_without_what_was_read(
    live: str, get: Get, yard: "Yard", left: str, odometer: str
) -> None:
    """Whoever has the label alone does not learn how far the motorcycle has run since."""
    report_ride(yard.workshop, left, 12_034_000, "", Say("owner"))
    before = yard.workshop.book.head()

    answer = ridden(get, live, yard.token(left), odometer, sure="yes", again="yes")

    assert (422, before) == (answer.status, yard.workshop.book.head())
    assert "Not taken" in words(answer.text)
    assert 'name="odometer_unit" value="mi"' in ridden(get, live, yard.token(left), odometer, "mi").text
    assert "12034" not in answer.text.replace("\N{NO-BREAK SPACE}", "")


def test_a_label_takes_no_more_than_an_owner_would_tell(live: str, get: Get, yard: "Yard", left: str) -> None:
    """The ledger forgets nothing, so a day holds ten; the workshop itself goes on."""
    answers = [ridden(get, live, yard.token(left), f"{12_001 + number}") for number in range(11)]

    assert [200] * 10 + [422] == [each.status for each in answers]
    assert "Enough was told by this label today" in words(answers[-1].text)
    report_ride(yard.workshop, left, 12_040_000, "", Say(yard.mechanic))
    yard.later(days=1)
    assert 200 == ridden(get, live, yard.token(left), "12050").status


def test_what_a_label_told_bars_no_mechanic(live: str, get: Get, yard: "Yard", left: str) -> None:
    """A false odometer is named with its entry, which is struck; then the true one is taken."""
    ridden(get, live, yard.token(left), "13900")
    yard.later(days=2)
    told = yard.workshop.record(left).facts[-1].noted.entry

    with pytest.raises(Refused, match=f"told by a label alone: if it is false, strike #{told} first"):
        recheck(yard.workshop, left, 12_060_000, "", Say(yard.mechanic))
    strike(yard.workshop, left, told, "nobody rode that far", Say(yard.foreman))
    report_ride(yard.workshop, left, 12_060_000, "", Say(yard.mechanic))


def test_whatever_else_a_form_brings_is_left_out(live: str, get: Get, yard: "Yard", left: str) -> None:
    """No day of a stranger's choice, no id of their own words."""
    yard.later(days=1)
    ridden(get, live, yard.token(left), "12050", id="a word for ever", ago="1000", here="yes", by=yard.foreman)
    entry = yard.workshop.book.entry(yard.workshop.record(left).facts[-1].noted.entry)

    assert entry
    assert entry.happened_at == entry.recorded_at
    assert "word" not in entry.id
    assert "owner" == entry.who


def test_a_day_is_asked_for(live: str, get: Get, yard: "Yard", left: str) -> None:
    """It stands on the page, and the night says whom to call; the re-check stays due as it was."""
    before = show_job(yard.workshop, left).recheck
    answer = send(get, f"{live}r/{yard.token(left)}/day", on="2031-04-16", half="afternoon")
    yard.later(days=1)
    due = next(section for section in night_of(yard.workshop).sections if section.key == "due")

    assert "Your day is noted. We call you, or you call us." in words(answer.text)
    assert "You asked for Wednesday 16 April, in the afternoon." in words(answer.text)
    assert ["The owner asked to come on 2031-04-16 in the afternoon, told by the label. Call them."] == [
        line.says for line in due.lines
    ]
    after = show_job(yard.workshop, left).recheck
    assert before
    assert after
    assert (before.due_on, before.due_distance_m) == (after.due_on, after.due_distance_m)


@pytest.mark.parametrize(
    ("on", "days", "says"),
    [
        ("2031-04-18", 0, "2031-04-18 is too late, ask for 2031-04-17 or earlier; if no such day suits, call"),
        ("2031-04-02", 0, "2031-04-02 is past; ask for another day"),
        ("tomorrow", 0, "Tomorrow: write a date as 2031-04-02"),
        ("", 0, "A day: write a date as 2031-04-02"),
        ("2031-05-21", 40, "2031-05-21 is too late, ask for 2031-05-20 or earlier"),
    ],
)
def test_a_day_may_only_bring_it_forward(
    live: str, get: Get, yard: "Yard", left: str, on: str, days: int, says: str
) -> None:
    """Nobody puts a re-check off by the label; whoever is late is given a week."""
    yard.later(days=days)
    before = yard.workshop.book.head()

    answer = send(get, f"{live}r/{yard.token(left)}/day", on=on, half="morning")

    assert (422, before) == (answer.status, yard.workshop.book.head())
    assert says in words(answer.text)


def test_a_day_that_passed_without_a_visit_is_told(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Until the re-check is done, or the motorcycle is here."""
    send(get, f"{live}r/{yard.token(left)}/day", on="2031-04-05", half="morning")
    yard.later(days=4)
    told = [line.says for each in night_of(yard.workshop).sections for line in each.lines]
    yard.arrive(at_m=12_050_000)
    yard.later(days=1)
    here = [line.says for each in night_of(yard.workshop).sections for line in each.lines]

    asked = "The owner asked to come on 2031-04-05 in the morning, told by the label"
    says = f"{asked}, and nobody has recorded that it came. Call them."
    assert (True, False) == (says in told, says in here)


def test_a_fastener_that_somebody_undid_stops_the_ride(live: str, get: Get, yard: "Yard", left: str) -> None:
    """The owner tells it with two choices, reads the answer at once, and the night calls."""
    answer = send(get, f"{live}r/{yard.token(left)}/loosened", place="rear-axle-nut", why="elsewhere")
    yard.later(days=1)
    on_the_road = next(section for section in night_of(yard.workshop).sections if section.key == "on-the-road")

    assert "It is noted. Thank you. Do not ride before we have looked at it." in words(answer.text)
    assert "May I ride? Do not ride" in words(answer.text)
    assert [True] == ["Reach the owner today. rear axle nut" in line.says for line in on_the_road.lines]


def test_whoever_does_not_know_which_tells_of_all(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Each fastener once, and no second time."""
    address = f"{live}r/{yard.token(left)}/loosened"
    before = yard.workshop.book.head().sequence
    answers = [send(get, address, place="", why="unknown") for _ in range(2)]
    told = yard.workshop.book.head().sequence - before

    assert [200, 422] == [each.status for each in answers]
    assert len(show_job(yard.workshop, left).fasteners) == told


@pytest.mark.parametrize("place", ["", "rear-axle-nut"])
@pytest.mark.parametrize("came_back", [False, True])
def test_what_stands_at_the_bench_is_undone_by_no_label(
    live: str, get: Get, yard: "Yard", drive: Path, place: str, *, came_back: bool
) -> None:
    """Before it left for the first time, and on a later visit: what was tightened stays so."""
    job = yard.open(drive)
    yard.work(job)
    if came_back:
        yard.leave(job)
        yard.later(days=1)
        yard.arrive(at_m=12_050_000)
    before = yard.workshop.book.head()

    answer = send(get, f"{live}r/{yard.token(job)}/loosened", place=place, why="unknown")

    assert (422, before) == (answer.status, yard.workshop.book.head())
    assert "it is in the workshop; tell whoever works on it" in words(answer.text).lower()


@pytest.mark.parametrize("fields", [{"place": "nothing", "why": "wheel"}, {"place": "", "why": "my own words"}, {}])
def test_only_what_the_page_offers_is_taken(
    live: str, get: Get, yard: "Yard", left: str, fields: dict[str, str]
) -> None:
    """A stranger's words would stay in the ledger."""
    before = yard.workshop.book.head()

    answer = send(get, f"{live}r/{yard.token(left)}/loosened", **fields)

    assert (422, before) == (answer.status, yard.workshop.book.head())


def test_another_site_sends_nothing(live: str, get: Get, yard: "Yard", left: str) -> None:
    """A page elsewhere that knows the address cannot tell anything in the reader's name."""
    address, data = f"{live}r/{yard.token(left)}/ridden", b"odometer=12050&odometer_unit=km"
    for head in ({"Sec-Fetch-Site": "cross-site"}, {"Origin": "http://evil.example"}):
        assert 403 == get(address, head, data).status


def test_guesses_count_on_every_address(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Whoever tries tokens on the record's address, or on the calendar's, waits as on the label's own."""
    token = yard.token(left)
    guess, tried, ways = new_token(Random(7)), 0, ("/record", "/re-check.ics", "")
    while (late := get(f"{live}r/{guess}{ways[tried % 3]}")).status == 404 and tried < MOST_TRIED:
        tried += 1

    assert 429 == late.status
    assert 200 == get(f"{live}r/{token}").status


@pytest.mark.parametrize("settings", [{"zone": "UTC", "base_address": "http://bench.example", "demo": True}])
def test_without_a_telephone_the_page_still_says_what_to_do(live: str, get: Get, yard: "Yard", left: str) -> None:
    """Nothing to tap where nothing was told; and a demo says so."""
    text = get(f"{live}r/{yard.token(left)}").text

    assert "tel:" not in text
    assert "DEMO: an invented workshop" in text


@pytest.mark.parametrize("below", ["", "ridden", "day", "loosened"])
def test_an_address_below_a_label_opens_its_page(owners: Owners, drive: Path, below: str) -> None:
    """A form that was refused leaves it in the browser, which opens it again tomorrow."""
    token = owners.yard.token(owners.yard.open(drive))
    opened = owners.get(f"{owners.live}r/{token}/{below}")

    assert (200, f"/r/{token}") == (opened.status, opened.address.removeprefix(owners.live.rstrip("/")))
