from collections import Counter

import pytest

from torqueaudit.model.act import Refused
from torqueaudit.model.job.facts import Loosening, Tightening
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.job_view import show_job


def test_a_card_in_the_docstring_is_played(played: Workshop) -> None:
    """A few lines make a whole job, down to the re-check.

    2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2
    2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 by P-2
    2031-04-02 10:06 rear-axle-nut mark intact by P-2
    2031-04-02 10:09 rear-axle-nut checked mark seen by P-3
    2031-04-02 10:15 released by P-1
    2031-04-02 10:20 handed over at 12010 km by P-1
    2031-04-09 09:00 rear-axle-nut mark intact by P-2
    2031-04-09 09:10 re-checked at 12100 km by P-2
    """
    view = show_job(played, "1")

    assert view.state == "re-checked"
    assert findings(played) == []


@pytest.mark.parametrize("line", ["0", "2", "9999"])
def test_a_card_strikes_no_line_that_it_has_not(workshop: Workshop, line: str) -> None:
    """Neither the one above the first, nor one that is still to come."""
    with pytest.raises(ValueError, match=rf"the card has no line {line} before this one"):
        play(
            workshop,
            f"2031-04-02 10:00 job 1 opened axle on V-1 by P-2\n2031-04-02 10:01 line {line} struck: wrong by P-2",
        )


def test_words_on_a_card_hold_no_sign_that_nobody_sees(workshop: Workshop) -> None:
    """What looks like the end of a line is none, and no second act is read behind it."""
    play(workshop, "2031-04-02 10:00 job 1 opened axle on V-1 by P-2")
    before = workshop.book.head()
    with pytest.raises(Refused, match=r"why: sign 4 is U\+2028 \(line separator\), which nobody sees"):
        play(workshop, "2031-04-02 10:07 V-1 nut reported loosened: out\u20282031-04-02 10:08 released by P-1")

    assert before == workshop.book.head()


@pytest.mark.parametrize(
    "line",
    [
        "2031-04-02 10:05 rear-axle-nut tightened well by P-2",
        "2031-04-02 rear-axle-nut 108 N·m with W-1 by P-2",
        "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1",
    ],
)
def test_a_line_that_cannot_be_read_raises_with_its_text(workshop: Workshop, line: str) -> None:
    """A card is never played in part without a word."""
    with pytest.raises(ValueError, match=line):
        play(workshop, f"2031-04-02 10:00 job 1 opened axle on V-1 by P-2\n{line}")


def test_every_kind_of_line_can_be_told(played: Workshop) -> None:
    """Stages, adapters, helpers, threads, parts, measurements, concessions, rides, reports, strikes, other jobs.

    2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2
    2031-04-02 10:01 bike-secured yes: tied down by P-2
    2031-04-02 10:02 sprocket-bolt stage 1 15 N·m with W-1 adapter 50@45 by P-4
    2031-04-02 10:03 sprocket-bolt stage 2 50 N·m with W-1 thread bad helped by P-3 but 3 did not reach torque by P-2
    2031-04-02 10:04 tab-washer fitted used washer 18 mm by P-2
    2031-04-02 10:05 slack measured 37 mm at mid-span by P-2
    2031-04-02 10:06 rear-axle-nut no torque wrench fits by P-2
    2031-04-02 10:07 rear-axle-nut mark not seen: under the cover by P-3
    2031-04-02 10:38 rear-axle-nut checked self re-inspection: alone today by P-2
    2031-04-02 10:39 conceded no-wrench-fits on rear axle nut until 2031-05-01: turned by feel, 20 km by P-1
    2031-04-02 10:40 sprocket-nut loosened: cover forgotten by P-2
    2031-04-02 10:41 handed over at 12010 km with stops: fetched at once by P-1
    2031-04-03 08:00 clock
    2031-04-02 18:00 ridden to 12040 km: chain sings by owner
    2031-04-03 09:00 V-1 rear-axle-nut reported loosened: tyre changed elsewhere by owner
    2031-04-03 09:10 job 2 opened axle on V-1 after job 1 by P-3
    2031-04-03 09:15 job 1 test-ride not applicable by P-3
    2031-04-03 09:20 line 2 struck: not tied down by P-1
    """
    record = played.record("1")
    expected = (5 + 5 + 1, 1, 1, 12040000, "1", ["not tied down"])
    actual = (
        len(record.of(Tightening)),
        len(record.concessions()),
        len(record.of(Loosening)),
        record.odometers()[-1][1],
        played.record("2").follows,
        [strike.why for strike in record.strikes],
    )

    assert expected == actual


def test_a_card_is_read_as_people_write(played: Workshop) -> None:
    """Numbers, answers and states in any case, an hour of one digit, an outcome without its comma.

    2031-04-02 8:10 job 1 opened final-drive on v1 at 12000 km by p2
    2031-04-02 8:11 bike-secured Yes: tied down by P2
    2031-04-02 8:12 rear-axle-nut 100 N·m with w-1 Turned then clicked helped by p3 by p-2
    2031-04-02 8:13 rear-axle-nut mark Intact by P-2
    2031-04-02 8:14 sprocket-bolt stage 1 15 N·m with w1 turned and clicked but 3 Not reached by P-2
    """
    opened, looked, tightened, marked, *bolts = played.book.entries("job/1")

    assert ("V-1", "P-2", "yes") == (opened.said["vehicle"], opened.who, looked.said["answer"])
    assert ("W-1", ["P-3"]) == (tightened.said["wrench"], tightened.said["helpers"])
    assert ("turned, then clicked", "intact") == (tightened.said["outcome"], marked.said["state"])
    assert {"turned, then clicked": 4, "did not reach torque": 1} == Counter(each.said["outcome"] for each in bolts)
