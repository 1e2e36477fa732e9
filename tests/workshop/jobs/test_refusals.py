"""Acts that would hide something: each is refused once, and accepted once where nothing is hidden."""

from datetime import timedelta
from pathlib import Path

import pytest

from torqueaudit.book import queries
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Opening
from torqueaudit.model.job.facts import CheckMethod
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.checks import check
from torqueaudit.workshop.jobs.job import open_job
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.people import add_person
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source

OPENED = "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2\n"
TIGHT = OPENED + "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2\n"
MARKED = TIGHT + "2031-04-02 10:06 rear-axle-nut mark intact by P-2\n"
READY = MARKED + "2031-04-02 10:09 rear-axle-nut checked mark seen by P-3\n"
RELEASED = READY + "2031-04-02 10:15 released by P-1\n"
GONE = RELEASED + "2031-04-02 10:20 handed over at 12010 km by P-1\n"
LOOKED = GONE + "2031-04-09 09:00 rear-axle-nut mark intact by P-2\n"


def refused(workshop: Workshop, card: str) -> str:
    """The sentence with which the workshop refuses the last line of a card; that line records nothing."""
    lines = card.splitlines()
    play(workshop, "\n".join(lines[:-1]))
    before = workshop.book.head()
    with pytest.raises(Refused) as caught:
        play(workshop, lines[-1])
    assert before == workshop.book.head()
    return str(caught.value)


@pytest.mark.parametrize(
    "marks",
    [
        "",
        "2031-04-02 10:06 rear-axle-nut mark disturbed by P-3\n",
        "2031-04-02 10:06 rear-axle-nut mark unreadable by P-3\n",
        "2031-04-02 10:06 rear-axle-nut mark not seen: under the cover by P-3\n",
        "2031-04-02 10:06 rear-axle-nut mark intact by P-2\n2031-04-02 10:07 rear-axle-nut mark disturbed by P-3\n",
    ],
    ids=["none", "disturbed", "unreadable", "not-seen", "disturbed-since"],
)
def test_no_check_by_a_mark_that_is_not_whole(workshop: Workshop, marks: str) -> None:
    """Nobody can have seen it."""
    expected = "rear-axle-nut: no whole mark is recorded, so none was seen; mark it first"

    assert expected == refused(workshop, f"{TIGHT}{marks}2031-04-02 10:09 rear-axle-nut checked mark seen by P-3")


def test_a_check_by_watching_needs_no_mark(workshop: Workshop) -> None:
    """The line is painted afterwards."""
    play(workshop, f"{TIGHT}2031-04-02 10:09 rear-axle-nut checked watched by P-3")

    assert findings(workshop, rule="workshop_rules/not-checked") == []


@pytest.mark.parametrize(
    "card",
    [RELEASED, GONE, MARKED + "2031-04-02 10:20 handed over at 12010 km with stops: towed by P-2\n"],
    ids=["released", "gone", "gone-without-release"],
)
def test_only_a_foreman_strikes_after_release_or_hand_over(workshop: Workshop, card: str) -> None:
    """Somebody relies on it by then."""
    play(workshop, card)
    entry = workshop.record("1").current("rear-axle-nut").standing or 0
    before = workshop.book.head()
    with pytest.raises(Refused, match="P-2 is mechanic; only a foreman may do this"):
        strike(workshop, "1", entry, "wrong nut", Say("P-2"))
    unchanged = workshop.book.head()
    strike(workshop, "1", entry, "wrong nut", Say("P-1"))

    assert before == unchanged
    assert [entry] == [each.entry for each in workshop.record("1").strikes]


def test_a_mechanic_strikes_while_the_job_is_open(workshop: Workshop) -> None:
    """A slip of the pen is put right by whoever made it."""
    play(workshop, f"{TIGHT}2031-04-02 10:10 line 2 struck: wrong nut by P-2")

    assert ["rear axle nut: not tightened. Tighten it to 108 N·m."] == findings(
        workshop, rule="workshop_rules/not-tightened"
    )


def test_a_withdrawn_job_whose_vehicle_left_stays_a_stop(workshop: Workshop) -> None:
    """Withdrawing the record does not bring the motorcycle back."""
    play(workshop, f"{GONE}2031-04-03 09:00 line 1 struck: wrong vehicle by P-1")
    expected = [
        "job 1: withdrawn after the vehicle left (wrong vehicle). Look at the vehicle and open a new job.",
    ]

    assert expected == findings(workshop, rule="workshop_rules/withdrawn-on-the-road", weight="stop")
    assert 1 in {each.job for each in queries.attention(workshop.book)}


def test_a_job_withdrawn_before_the_vehicle_left_needs_nothing(workshop: Workshop) -> None:
    """Opened by mistake, struck the same hour."""
    play(workshop, f"{TIGHT}2031-04-02 10:10 line 1 struck: wrong vehicle by P-2")

    assert findings(workshop, rule="workshop_rules/withdrawn-on-the-road") == []
    assert queries.attention(workshop.book) == []


def test_a_hand_over_before_recorded_work_is_refused(workshop: Workshop) -> None:
    """It had not left while somebody still worked on it."""
    expected = "job 1: work is recorded after that time, so the vehicle had not left; look at the date"

    assert expected == refused(workshop, f"{READY}2031-04-02 10:08 handed over at 12010 km by P-1")


def test_a_hand_over_told_late_is_accepted_after_the_work(workshop: Workshop) -> None:
    """Told in the evening, with the hour it happened."""
    play(workshop, f"{RELEASED}2031-04-02 18:00 clock\n2031-04-02 10:20 handed over at 12010 km by P-1")

    assert show_job(workshop, "1").state == "handed over"


def test_what_lies_before_the_opening_is_refused(workshop: Workshop) -> None:
    """Ten minutes are the slack of two clocks; eleven are another day's work."""
    expected = "job 1 was opened on 2031-04-02 at 10:00, and this lies before it; look at the date"

    assert expected == refused(workshop, f"{OPENED}2031-04-02 09:49 rear-axle-nut 108 N·m with W-1 by P-2")


def test_ten_minutes_before_the_opening_are_accepted(workshop: Workshop) -> None:
    """The nut was done while somebody still looked for the screen."""
    play(workshop, f"{OPENED}2031-04-02 09:50 rear-axle-nut 108 N·m with W-1 by P-2")

    assert workshop.record("1").opened.happened_at - timedelta(minutes=10) == _tightened_at(workshop)


def _tightened_at(workshop: Workshop) -> object:
    done = workshop.record("1").current("rear-axle-nut").tightening
    return done and done.noted.happened_at


def test_a_re_check_without_a_ride_is_refused(workshop: Workshop) -> None:
    """Nothing settles while it stands."""
    expected = "job 1: the odometer stands where it stood at hand-over, so there was no ride to look after"

    assert expected == refused(workshop, f"{LOOKED}2031-04-09 09:10 re-checked at 12010 km by P-2")


def test_a_re_check_is_concluded_once(workshop: Workshop) -> None:
    """What is found later is a mark or a value of its own."""
    done = LOOKED + "2031-04-09 09:10 re-checked at 12100 km by P-2\n"
    expected = "job 1: the re-check was concluded on 2031-04-09; report what you found as marks and values"

    assert expected == refused(workshop, f"{done}2031-04-10 09:10 re-checked at 12200 km by P-2")


def test_a_re_check_waits_for_the_torques_of_the_plan(workshop: Workshop, tmp_path: Path) -> None:
    """A whole mark is not the torque that the plan asks for."""
    text = workshop.procedure(workshop.full_digest("axle")).text
    text = text.replace('edition = "1"', 'edition = "2"', 1) + 'torques = ["rear-axle-nut"]\n'
    (tmp_path / "axle.toml").write_text(text, encoding="utf-8")
    digest = enter_procedure(workshop, tmp_path / "axle.toml", Say("P-2"))
    read_against_source(workshop, digest, "", Say("P-3"))
    open_job(workshop, Opening("V-1", digest), Say("P-2"))
    expected = "job 1: not looked at since the hand-over: torque of the rear axle nut. Look and record each first."
    card = LOOKED.removeprefix(OPENED)

    assert expected == refused(workshop, f"{card}2031-04-09 09:10 re-checked at 12100 km by P-2")
    play(
        workshop,
        """2031-04-09 09:15 rear-axle-nut 108 N·m with W-1 clicked without turning by P-2
        2031-04-09 09:20 re-checked at 12100 km by P-2
        """,
    )
    assert show_job(workshop, "1").state == "re-checked"


def test_a_report_on_a_fastener_nobody_knows_is_refused(workshop: Workshop) -> None:
    """The sentence names those that the vehicle's jobs know."""
    expected = "front-axle: no job of V-1 knows it; it has rear-axle-nut"

    assert expected == refused(workshop, f"{TIGHT}2031-04-03 09:00 V-1 front-axle reported loosened: tyre by owner")


def test_a_report_on_a_vehicle_without_jobs_is_refused(workshop: Workshop) -> None:
    """There is nothing yet that could be undone."""
    expected = "rear-axle-nut: no job of V-2 knows it; it has no fasteners yet"

    assert expected == refused(workshop, "2031-04-03 09:00 V-2 rear-axle-nut reported loosened: tyre by owner")


def test_nobody_has_two_numbers(workshop: Workshop) -> None:
    """Or one could check the other's work."""
    before = workshop.book.head()
    with pytest.raises(Refused, match="barnaby sample: somebody of that name is entered already"):
        add_person(workshop, "barnaby sample", ("foreman",), "", Say("P-1"))

    assert before == workshop.book.head()


def test_the_same_person_sent_twice_is_one_person(workshop: Workshop) -> None:
    """The same act, told again with its id, is no second person of that name."""
    numbers = [add_person(workshop, "Egbert Sample", ("mechanic",), "", Say("P-1", id="phone-7")) for _ in range(2)]

    assert numbers == ["P-5", "P-5"]


def test_whoever_turned_it_before_does_not_check(workshop: Workshop) -> None:
    """P-3 passed over what P-2 had tightened; both had a hand in it until it is loose again."""
    both = TIGHT + "2031-04-02 10:06 rear-axle-nut 108 N·m with W-1, again by P-3\n"
    play(workshop, both)
    for by in ("P-2", "P-3"):
        with pytest.raises(Refused, match=f"{by} had a hand in it, and nobody checks their own work"):
            check(workshop, "1", "rear-axle-nut", CheckMethod.WATCHED, "", Say(by))
    play(
        workshop,
        """2031-04-02 10:10 rear-axle-nut loosened: spacer by P-2
        2031-04-02 10:11 rear-axle-nut 108 N·m with W-1 by P-3
        2031-04-02 10:12 rear-axle-nut checked watched by P-2
        """,
    )

    assert (
        findings(workshop, rule="workshop_rules/not-checked"),
        findings(workshop, rule="workshop_rules/checked-by-own-hand"),
    ) == ([], [])


def test_a_confirming_click_is_no_hand(workshop: Workshop) -> None:
    """Nothing turned; whoever tried it may be the second person."""
    play(
        workshop,
        TIGHT
        + """2031-04-02 10:06 rear-axle-nut 108 N·m with W-1 clicked without turning by P-3
        2031-04-02 10:07 rear-axle-nut checked clicked without turning by P-3
        """,
    )

    assert findings(workshop, rule="workshop_rules/not-checked") == []


SELF = "2031-04-02 10:35 rear-axle-nut checked self re-inspection: alone today by {by}\n"
PERMITTED = "2031-04-02 10:40 conceded self-re-inspection on rear axle nut until 2031-05-01: seen, 20 km by P-1"


def test_a_second_look_at_ones_own_work_comes_half_an_hour_later(workshop: Workshop) -> None:
    """Not in the same breath as the work itself."""
    too_soon = SELF.replace("10:35", "10:34").format(by="P-2")
    expected = (
        "rear-axle-nut: tightened less than 30 minutes ago; whoever looks again at their own work does so with fresh "
        "eyes, later"
    )

    assert expected == refused(workshop, TIGHT + too_soon)


def test_nobody_concedes_their_own_second_look(workshop: Workshop) -> None:
    """The foreman tightened it, looked again alone, and would permit it too."""
    own = OPENED + "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-1\n" + SELF.format(by="P-1")
    expected = "rear axle nut: P-1 had a hand in it; nobody concedes their own tightening"

    assert expected == refused(workshop, own + PERMITTED)


def test_a_foreman_may_concede_a_mechanics_own_second_look(workshop: Workshop) -> None:
    """Somebody else answers for it then."""
    play(workshop, TIGHT + SELF.format(by="P-2") + PERMITTED)

    assert findings(workshop, rule="workshop_rules/self-re-inspection") == []


@pytest.mark.parametrize(
    ("line", "stops"),
    [(6, 0), (2, 1)],
    ids=["hand-over", "tightening"],
)
def test_a_hand_over_struck_after_release_is_no_stop(workshop: Workshop, line: int, stops: int) -> None:
    """It changes nothing of the work that was released; a tightening struck does."""
    play(workshop, f"{GONE}2031-04-02 10:30 line {line} struck: slip of the pen by P-1")

    assert stops == len(findings(workshop, rule="workshop_rules/struck-after-release", weight="stop"))


def test_what_comes_next_is_the_fasteners_fault_first(workshop: Workshop) -> None:
    """Nobody marks what was tightened to the wrong torque."""
    play(workshop, f"{OPENED}2031-04-02 10:05 rear-axle-nut 90 N·m with W-1 by P-2")
    expected = ("rear axle nut: 90 N·m was applied; 97.2 … 118.8 N·m is specified. Loosen it and tighten again.",)

    assert expected == show_job(workshop, "1").next


def test_what_comes_next_without_a_fault_is_what_is_left(workshop: Workshop) -> None:
    """The mark, then the second look, then the release."""
    play(workshop, TIGHT)
    unmarked = show_job(workshop, "1").next
    play(workshop, "2031-04-02 10:06 rear-axle-nut mark intact by P-2")
    unchecked = show_job(workshop, "1").next
    play(workshop, "2031-04-02 10:09 rear-axle-nut checked mark seen by P-3")

    assert (("mark rear axle nut",), ("independent check of rear axle nut",)) == (unmarked, unchecked)
    assert show_job(workshop, "1").next == ("a foreman releases it",)
