"""What is agreed about a re-check: who puts it off, how far, what else holds, and what no agreement takes away."""

from datetime import date, datetime, timedelta

import pytest

from torqueaudit.book import queries
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Postponement
from torqueaudit.model.job.road import Half
from torqueaudit.model.shown.recheck import stands_words
from torqueaudit.model.vehicle.exchange import Replaced
from torqueaudit.model.vehicle.instrument import Instrument
from torqueaudit.model.wrench.acts import Calibrate
from torqueaudit.testing import Clock, findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.night.night import night_of
from torqueaudit.workshop.recheck.arranging import postpone_recheck
from torqueaudit.workshop.recheck.asking import ask_day
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.exchange import exchange_instrument
from torqueaudit.workshop.wrenches.calibrations import calibrate

LEFT = """
2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 10:06 rear-axle-nut mark intact by P-2
2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
2031-04-02 10:15 released by P-1
2031-04-02 10:20 handed over at 12010 km by P-1
"""
DUE = "due by 2031-04-16 or at 12110 km, whichever comes first"
POSTPONED = "2031-04-10 09:00 job 1 re-check postponed until 2031-05-02 or 12600 km: abroad by P-1\n"
REFERRED = "2031-04-10 09:00 job 1 re-check handed to the next valley: it is nearer by P-2\n"
ELSEWHERE = "workshop_rules/fault-found-elsewhere"
FAULT = "2031-04-14 09:00 job 1 re-check found fault found elsewhere at 12100 km: the axle nut turns by P-2\n"


def stands(workshop: Workshop, *cards: str) -> str:
    """How the re-check of job 1 stands after some cards."""
    play(workshop, *cards)
    view = show_job(workshop, "1").recheck
    return stands_words(view) if view else ""


def refused(workshop: Workshop, *cards: str) -> str:
    """Why the last of some cards was refused."""
    with pytest.raises(Refused) as caught:
        play(workshop, *cards)
    return str(caught.value)


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (POSTPONED, "postponed, due by 2031-05-02 or at 12600 km, whichever comes first"),
        ("2031-04-10 09:00 job 1 re-check refused: no time by P-2", "refused by the owner on 2031-04-10"),
        (REFERRED, f"handed to another workshop, {DUE}"),
        (
            f"{REFERRED}2031-04-14 09:00 job 1 re-check found in order elsewhere at 12100 km by P-2",
            "done on 2031-04-14 by another workshop, as P-2 says",
        ),
        (REFERRED + FAULT, DUE),
    ],
)
def test_what_is_agreed_is_how_it_stands(workshop: Workshop, line: str, expected: str) -> None:
    """A vehicle that is here is in hand whatever was agreed, and as it was agreed again once it left unlooked at."""
    assert expected == stands(workshop, LEFT, line)
    done = "done" in expected
    here = stands(workshop, "2031-04-14 10:00 V-1 arrived at 12105 km by P-2")
    assert (expected if done else f"in hand, {DUE}") == here or "12600" in here
    if not done and "fault" not in line:
        assert expected == stands(workshop, "2031-04-14 11:00 job 1 handed over at 12106 km by P-2")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("until 2031-04-16: abroad by P-1", "2031-04-16: it is due by 2031-04-16 as it is, so that puts nothing off"),
        ("until 2031-04-10: abroad by P-1", "2031-04-10 does not lie ahead; look at the date"),
        ("until 2032-04-11: abroad by P-1", "2032-04-11 is more than a year ahead; say an earlier day"),
        ("until 12010 km: abroad by P-1", "12010 km does not lie ahead of the 12010 km that were read last"),
        ("until 12110 km: abroad by P-1", "12110 km: it is due at 12110 km as it is, so that puts nothing off"),
        ("until 126000 km: abroad by P-1", "126000 km is more than 20000 km ahead of the 12010 km"),
        ("until 2031-05-02: abroad by P-2", "P-2 is mechanic; only a foreman may do this"),
    ],
)
def test_what_puts_nothing_off_or_too_far_is_refused(workshop: Workshop, line: str, says: str) -> None:
    """Nothing of it is recorded."""
    assert refused(workshop, LEFT, f"2031-04-10 09:00 job 1 re-check postponed {line}").startswith(says)
    assert DUE == stands(workshop)


def test_a_distance_from_before_an_exchange_is_asked_back(workshop: Workshop, clock: Clock) -> None:
    """It may be of the old instrument or of the new one; a day, or what is said as of now, is taken."""
    play(workshop, LEFT, "2031-04-10 09:00 job 1 ridden to 12050 km by owner")
    replaced = Replaced(Instrument.KM, 12_050_000, 3_000_000)
    exchange_instrument(workshop, "V-1", replaced, Say("P-2"))
    clock.moment += timedelta(hours=1)
    far, day = Postponement(None, 3_400_000, "abroad"), Postponement(date(2031, 5, 2), None, "abroad")

    with pytest.raises(Refused, match="the instrument was replaced since then, and this may be a figure of either"):
        postpone_recheck(workshop, "1", far, Say("P-1", minutes_ago=180))
    postpone_recheck(workshop, "1", day, Say("P-1", minutes_ago=180))
    postpone_recheck(workshop, "1", far, Say("P-1"))
    assert "postponed, due by 2031-04-16 or at 3400 km, whichever comes first" == stands(workshop)


def test_what_is_past_has_to_be_put_off_too(workshop: Workshop) -> None:
    """Else it would be due at once all the same."""
    late = "2031-04-16 09:00 job 1 re-check postponed until 12600 km: abroad by P-1"
    ridden = "2031-04-16 09:01 job 1 ridden to 12110 km by owner\n"
    day = "2031-04-16 09:02 job 1 re-check postponed until 2031-05-02: abroad by P-1"

    assert "it is due by 2031-04-16 as well, and that day is there; say until which day too" == refused(
        workshop, LEFT, late
    )
    assert "it is due at 12110 km as well, and it has run that; say until which odometer" == refused(
        workshop, ridden + day
    )


def test_a_re_check_is_not_put_off_while_a_stop_stands(workshop: Workshop) -> None:
    """The owner saw that the mark had turned."""
    says = refused(workshop, LEFT, "2031-04-09 09:00 job 1 rear-axle-nut mark disturbed by owner", POSTPONED)

    assert says.startswith("job 1: the re-check is not put off while 1 stop stands:")


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("re-check refused: no time by P-2", "it is not recorded that the owner refuses the re-check"),
        ("re-check handed to the next valley: far by P-2", "the re-check is not handed to another workshop"),
    ],
)
def test_nothing_is_agreed_while_a_stop_stands(workshop: Workshop, line: str, says: str) -> None:
    """Whatever the owner says, a mark that turned is a reason not to ride."""
    play(workshop, LEFT, "2031-04-09 09:00 job 1 rear-axle-nut mark disturbed by owner")
    before, head = findings(workshop, weight="stop"), workshop.book.head()

    assert refused(workshop, f"2031-04-10 09:00 job 1 {line}").startswith(f"job 1: {says} while 1 stop stands:")
    assert before
    assert (before, head) == (findings(workshop, weight="stop"), workshop.book.head())


def test_another_workshop_finds_nothing_in_order_while_a_stop_stands(workshop: Workshop) -> None:
    """As the look here is not concluded then; that it found a fault is taken all the same."""
    play(workshop, LEFT, REFERRED, "2031-04-11 09:00 job 1 rear-axle-nut mark disturbed by owner")
    head = workshop.book.head()
    says = refused(workshop, "2031-04-14 09:00 job 1 re-check found in order elsewhere at 12100 km by P-2")

    assert says.startswith("job 1: the re-check is not in order while 1 stop stands:")
    assert head == workshop.book.head()
    assert DUE == stands(workshop, FAULT)


def test_a_refusal_is_recorded_once(workshop: Workshop) -> None:
    """The second says in which entry it stands."""
    card = "2031-04-1{} 09:00 job 1 re-check refused: no time by P-2"
    play(workshop, LEFT, card.format(0))
    head = workshop.book.head()
    agreed = show_job(workshop, "1").recheck

    assert agreed
    assert agreed.arranged
    assert f"job 1: its re-check was refused already, entry {agreed.arranged.entry}" == refused(
        workshop, card.format(1)
    )
    assert head == workshop.book.head()


def test_an_answer_needs_somebody_to_whom_it_was_handed(workshop: Workshop) -> None:
    """And comes after that."""
    in_order = "{} job 1 re-check found in order elsewhere by P-2"
    out_of_nothing = refused(workshop, LEFT, in_order.format("2031-04-09 09:00"))
    play(workshop, REFERRED)
    too_early = refused(workshop, in_order.format("2031-04-10 08:00"))

    assert "job 1: its re-check was not handed to another workshop; say that first, and to whom" == out_of_nothing
    assert "job 1: this lies before it was handed to them on 2031-04-10; look at the date" == too_early


def test_nothing_is_agreed_before_it_left_or_once_it_is_done(workshop: Workshop) -> None:
    """Nor of a moment before the leaving, however late it is told."""
    opened, looked = LEFT[: LEFT.index("2031-04-02 10:20")], "2031-04-11 09:0{} job 1 {} by P-2\n"
    no = "re-check refused: no time"
    before = refused(workshop, opened, f"2031-04-02 10:16 {no} by P-2")
    early = refused(
        workshop, "2031-04-02 10:20 job 1 handed over at 12010 km by P-1\n2031-04-02 10:18 job 1 " + no + " by P-2"
    )
    play(workshop, looked.format(1, "rear-axle-nut mark intact") + looked.format(2, "re-checked at 12100 km"))
    done = refused(workshop, looked.format(3, no))

    assert "job 1: it has not been handed over yet, and a re-check counts from the day it leaves" == before
    assert "job 1: this lies before the vehicle left on 2031-04-02; look at the date" == early
    assert "job 1: its re-check is not waited for (done), so nothing is agreed" == done


def test_the_last_word_holds_and_a_strike_brings_the_one_before_back(workshop: Workshop) -> None:
    """Put off, then refused, then handed on, which is struck as a misunderstanding; then the refusal as well."""
    put_off = stands(workshop, LEFT, POSTPONED)
    card = "2031-04-11 09:00 job 1 re-check refused: no time by P-2\n"
    no = stands(workshop, card)
    card = REFERRED.replace("10 09:00", "11 09:05")
    back = stands(workshop, f"{card}2031-04-11 09:10 line 1 struck: meant another by P-1")
    assert "refused by the owner on 2031-04-11" == no == back
    assert put_off == stands(workshop, "2031-04-11 09:20 job 1 taken back: misheard by P-2")


def test_what_is_turned_at_a_re_check_plans_the_next_and_nothing_agreed_before_holds_for_it(workshop: Workshop) -> None:
    """It was put off; it came, the nut had moved and was done anew, and it left."""
    play(workshop, LEFT, POSTPONED)
    says = stands(
        workshop,
        """
        2031-04-12 08:50 V-1 arrived at 12110 km by P-2
        2031-04-12 09:00 job 1 rear-axle-nut loosened: its mark had moved by P-2
        2031-04-12 09:10 job 1 rear-axle-nut 108 N·m with W-1 by P-2
        2031-04-12 09:11 job 1 rear-axle-nut mark intact by P-2
        2031-04-12 09:15 job 1 rear-axle-nut checked mark seen by P-3
        2031-04-12 09:20 job 1 released by P-1
        2031-04-12 09:25 job 1 re-checked at 12110 km by P-2
        2031-04-12 09:30 job 1 handed over at 12112 km by P-1
        """,
    )

    assert "due by 2031-04-26 or at 12212 km, whichever comes first" == says


def test_a_leaving_that_is_struck_takes_what_was_agreed_about_it_along(workshop: Workshop) -> None:
    """So that it puts nothing off that counts from another leaving."""
    card = POSTPONED.replace("job 1 ", "")
    play(workshop, f"{LEFT}{card}2031-04-10 10:00 line 6 struck: another motorcycle left by P-1")

    assert "" == stands(workshop, "2031-04-10 10:01 clock")
    assert "due by 2031-04-24 or at 12210 km, whichever comes first" == stands(
        workshop, "2031-04-10 10:05 job 1 handed over at 12110 km by P-1"
    )


def test_a_fault_that_another_workshop_found_stands_until_all_is_looked_at_anew_here(workshop: Workshop) -> None:
    """What a label's link says of a mark is no look; what a mechanic sees is."""
    looked = "2031-04-11 09:00 job 1 rear-axle-nut mark intact by P-2\n"
    play(workshop, LEFT, "2031-04-11 08:50 V-1 arrived at 12050 km by P-2", looked)
    play(workshop, "2031-04-11 09:30 job 1 handed over at 12051 km by P-1", REFERRED.replace("10 09", "11 10") + FAULT)
    fault = (
        "re-check: another workshop found a fault on 2031-04-14: “the axle nut turns”. Do not ride; call it in and "
        "look at all of it anew, or open the job that puts it right, as one that follows job 1."
    )
    seen = "2031-04-15 09:0{} job 1 rear-axle-nut mark intact by {}"

    assert [fault] == findings(workshop, weight="stop")
    play(workshop, seen.format(0, "owner"))
    assert [fault] == findings(workshop, weight="stop")
    play(workshop, seen.format(1, "P-3"))
    assert [] == findings(workshop, weight="stop")
    assert "done on 2031-04-15 by P-3" == stands(workshop, "2031-04-15 09:02 job 1 re-checked at 12105 km by P-3")


def test_a_job_that_follows_answers_a_fault_once_it_is_released(workshop: Workshop) -> None:
    """A job of the whole work."""
    play(workshop, LEFT, REFERRED, FAULT)
    follows = LEFT.replace("2031-04-02", "2031-04-15").replace("12000 km by", "12100 km after job 1 by")
    opening, *work, _ = follows.replace("job 1 opened", "job 2 opened").strip().splitlines()
    play(workshop, opening)
    assert 1 == len(findings(workshop, rule=ELSEWHERE, weight="stop"))
    play(workshop, "\n".join(f"{line[:16]} job 2{line[16:]}" for line in work))

    expected = "re-check: another workshop found a fault on 2031-04-14: “the axle nut turns”. Put right on job 2."
    assert [expected] == findings(workshop, rule=ELSEWHERE, weight="note")


def test_the_list_finds_what_was_agreed_and_leaves_a_refused_one_out_of_what_is_due(workshop: Workshop) -> None:
    """A night asks it, and reads no job for that."""

    def listed() -> tuple[list[int], list[str | None]]:
        found = [queries.rechecks_arranged(workshop.book, each) for each in ("postponed", "refused", "referred")]
        agreed = [row.job for rows in found for row in rows]
        return agreed, [row.due_on for row in queries.due_between(workshop.book, "", "2031-12-31")]

    play(workshop, LEFT)
    assert ([], ["2031-04-16"]) == listed()
    play(workshop, POSTPONED)
    assert ([1], ["2031-05-02"]) == listed()
    play(workshop, REFERRED.replace("10 09", "11 09"))
    assert ([1], ["2031-04-16"]) == listed()
    play(workshop, "2031-04-12 09:00 job 1 re-check refused: no time by P-2")
    assert ([1], []) == listed()
    play(workshop, "2031-04-13 09:00 job 1 re-check handed to the next valley: after all by P-2")
    play(workshop, "2031-04-14 09:00 job 1 re-check found in order elsewhere by P-2")
    assert ([], []) == listed()


def night(workshop: Workshop, day: str) -> dict[str, str]:
    """What the night of a day says of job 1's re-check, by section."""
    play(workshop, f"{day} 20:00 clock")
    found = night_of(workshop, date.fromisoformat(day))
    return {
        section.key: line.says
        for section in found.sections
        for line in section.lines
        if (line.job, line.says[:9]) == ("1", "Re-check ")
    }


def test_a_night_tells_of_what_was_put_off_and_calls_it_when_its_time_comes(workshop: Workshop) -> None:
    """By whom and why, in the rest; three days before, on the day, and past its grace where any other would stand."""
    play(workshop, LEFT, POSTPONED)
    put_off = "Re-check postponed, due by 2031-05-02 or at 12600 km, whichever comes first."
    call = "Due by 2031-05-02 or at 12600 km, whichever comes first; call it in and look: mark on the rear axle nut."

    assert {"rest": f"{put_off} So said P-1 on 2031-04-10: abroad."} == night(workshop, "2031-04-20")
    assert {"due": f"Re-check due in 2 days. {call}"} == night(workshop, "2031-04-30")
    assert {"due": f"Re-check due today. {call}"} == night(workshop, "2031-05-02")
    assert {"re-checks-missed": f"Re-check 8 days late. {call}"} == night(workshop, "2031-05-10")


def test_a_night_asks_for_the_result_of_another_workshop_from_its_day_on(workshop: Workshop) -> None:
    """And is never done with it before that arrives; behind it, by how much it is late."""
    play(workshop, LEFT, REFERRED)
    said = f"Re-check handed to another workshop, {DUE}. So said P-2 on 2031-04-10, to the next valley: it is nearer."

    assert {"rest": said} == night(workshop, "2031-04-11")
    assert {"due": f"{said} No result yet: ask them, and record it."} == night(workshop, "2031-04-16")
    late = said.replace(DUE, f"{DUE} – 91 days late")
    assert {"due": f"{late} No result yet: ask them, and record it."} == night(workshop, "2031-07-16")


def test_a_night_tells_of_a_refused_one_on_its_day_and_calls_nobody_any_more(workshop: Workshop) -> None:
    """A mechanic may have misheard, so the foreman reads it once."""
    play(workshop, LEFT, "2031-04-10 09:00 job 1 re-check refused: no time by P-2")
    said = "Re-check refused by the owner on 2031-04-10. So said P-2 on 2031-04-10: no time."

    assert {"rest": said} == night(workshop, "2031-04-10")
    assert {} == night(workshop, "2031-04-11")
    assert {} == night(workshop, "2031-06-11")


def test_what_is_agreed_settles_the_day_that_the_owner_asked_for(workshop: Workshop) -> None:
    """The foreman called, and they agreed on another one."""
    play(workshop, LEFT + "2031-04-09 12:00 clock")
    ask_day(workshop, "1", date(2031, 4, 14), Half.MORNING, Say("owner"))
    asked = show_job(workshop, "1").recheck
    play(workshop, POSTPONED)
    settled = show_job(workshop, "1").recheck

    assert [True, False] == [bool(each and each.asked) for each in (asked, settled)]
    assert [] == queries.attention(workshop.book, "a day was asked for")


@pytest.mark.parametrize(
    ("zone", "left", "due_on", "last_minute", "due"),
    [
        # The zones' rules are those of the IANA time zone database: clocks go back on 2031-10-26 in Madrid …
        ("Europe/Madrid", "2031-10-20 23:30", "2031-11-03", "2031-11-02 22:59", "2031-11-02 23:00"),
        # … and forward on 2032-03-28: an hour apart, and a day. It left by the clock on the wall; the last two are UTC.
        ("Europe/Madrid", "2032-03-21 23:30", "2032-04-04", "2032-04-03 21:59", "2032-04-03 22:00"),
        ("Europe/Madrid", "2032-03-22 00:30", "2032-04-05", "2032-04-04 21:59", "2032-04-04 22:00"),
        # Half an hour on Lord Howe Island on 2031-10-05; and a day ahead of most others at Apia.
        ("Australia/Lord_Howe", "2031-09-30 23:30", "2031-10-14", "2031-10-13 12:59", "2031-10-13 13:00"),
        ("Pacific/Apia", "2031-06-11 00:30", "2031-06-25", "2031-06-24 10:59", "2031-06-24 11:00"),
    ],
)
def test_days_are_those_on_the_wall_of_the_workshop(
    workshop: Workshop, clock: Clock, zone: str, left: str, due_on: str, last_minute: str, due: str
) -> None:
    """Through a change of the clocks a re-check is due with the first minute of its local day, and not before."""
    settle(workshop, {"zone": zone}, Say("P-1"))
    play(workshop, f"{left} clock")
    calibrate(workshop, "W-1", Calibrate(workshop.today(), certificate="C-9"), Say("P-1"))
    minute = datetime.fromisoformat(left)
    lines = LEFT.strip().splitlines()
    card = [f"{minute + timedelta(seconds=5 * at):%Y-%m-%d %H:%M}{line[16:]}" for at, line in enumerate(lines)]
    play(workshop, "\n".join(card))
    clock.set(last_minute)
    before = stands(workshop)
    clock.set(due)
    at = stands(workshop)

    says = f"by {due_on} or at 12110 km, whichever comes first"
    assert (f"due {says}", f"due now: {says}") == (before, at)
