"""What is told twice within minutes is asked back, and what is done twice for good reason is not."""

import pytest

from torqueaudit.model.act import Refused, Say
from torqueaudit.model.job.acts import Tighten
from torqueaudit.model.job.facts import Outcome
from torqueaudit.testing import Clock, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.jobs.fasteners import tighten

OPENED = "2031-04-02 10:00 job 1 opened final-drive on V-1 at 12000 km by P-2\n"
ASKED = "Was it done again, or is it the same one? If it was done again, say so."


def second(first: str, again: str, at: str = "10:09", between: str = "", by: str = "P-2") -> str:
    """A card on which something is told at 10:00, and this at another time."""
    middle = f"2031-04-02 10:05 {between} by P-2\n" if between else ""
    return f"{OPENED}2031-04-02 10:00 {first} by P-2\n{middle}2031-04-02 {at} {again} by {by}"


NUT = "rear-axle-nut 108 N·m with W-1"
SAME = [
    ("pass", second(NUT, NUT), "rear axle nut: P-2 told the same at 10:00 (#17)"),
    ("other-person", second(NUT, NUT, by="P-3"), "rear axle nut: P-2 told the same at 10:00 (#17)"),
    ("other-writing", second(NUT, "rear-axle-nut 108.0 Nm with w1"), "rear axle nut: P-2 told the same"),
    ("helper-forgotten", second(NUT, f"{NUT} helped by P-3"), "rear axle nut: P-2 told the same"),
    ("a-click-between", second(NUT, NUT, between=f"{NUT} clicked without turning"), "rear axle nut: P-2 told the same"),
    ("told-late", second(NUT, NUT, at="09:51"), "rear axle nut: P-2 told the same at 10:00 (#17)"),
    (
        "group",
        second("sprocket-bolt 50 N·m with W-1", "sprocket-bolt 50 N·m with W-1"),
        "sprocket bolt 1 to 5: P-2 told the same at 10:00 (#21)",
    ),
    (
        "bolt-of-the-group",
        second("sprocket-bolt 50 N·m with W-1", "sprocket-bolt-3 50 N·m with W-1"),
        "sprocket bolt 3 of 5: P-2 told the same",
    ),
    ("did-not-reach", second(f"{NUT} did not reach torque", f"{NUT} did not reach torque"), "rear axle nut: P-2 told"),
    (
        "measurement",
        second("slack measured 37 mm", "slack measured 37.0 mm"),
        "chain slack: P-2 told the same at 10:00",
    ),
    (
        "part",
        second("tab-washer fitted washer lot L-7", "tab-washer fitted washer lot L-7"),
        "tab washer: P-2 told the",
    ),
]


@pytest.mark.parametrize(("card", "says"), [each[1:] for each in SAME], ids=[each[0] for each in SAME])
def test_what_was_told_within_minutes_is_asked_back_once(workshop: Workshop, card: str, says: str) -> None:
    """Nothing is recorded; the word “again” records it."""
    with pytest.raises(Refused) as asked:
        play(workshop, card)
    before = workshop.book.head().sequence
    *_, last = card.splitlines()
    play(workshop, last.replace(" by ", ", again by ").replace("helped, again by", "helped by"))

    assert (True, True) == (str(asked.value).startswith(says), str(asked.value).endswith(ASKED)), asked.value
    assert before < workshop.book.head().sequence


ANOTHER = {
    "later": second(NUT, NUT, at="10:11"),
    "another torque": second(NUT, "rear-axle-nut 109 N·m with W-1"),
    "another wrench": second(NUT, "rear-axle-nut 108 N·m with W-2"),
    "an adapter": second(NUT, "rear-axle-nut 108 N·m with W-1 adapter 60@0"),
    "a click that confirms": second(NUT, f"{NUT} clicked without turning"),
    "another click that confirms": second(f"{NUT} clicked without turning", f"{NUT} clicked without turning"),
    "the second stage": second("sprocket-bolt stage 1 50 N·m with W-1", "sprocket-bolt stage 2 50 N·m with W-1"),
    "the next bolt": second("sprocket-bolt-1 50 N·m with W-1", "sprocket-bolt-3 50 N·m with W-1"),
    "one of the group another way": second(
        "sprocket-bolt 50 N·m with W-1", "sprocket-bolt 50 N·m with W-1 but 3 did not reach torque"
    ),
    "loosened between": second(NUT, NUT, between="rear-axle-nut loosened: spacer"),
    "another pass between": second(NUT, NUT, between="rear-axle-nut 112 N·m with W-1"),
    "another value between": second("slack measured 37 mm", "slack measured 37 mm", between="slack measured 41 mm"),
    "a nut turned between": second("slack measured 37 mm", "slack measured 37 mm", between=NUT),
    "another place": second("slack measured 37 mm at mid-span", "slack measured 37 mm at the tightest place"),
    "its uncertainty": second("slack measured 37 mm", "slack measured 37 mm ± 0.5 mm"),
    "another lot": second("tab-washer fitted washer lot L-7", "tab-washer fitted washer lot L-8"),
    "used": second("tab-washer fitted washer lot L-7", "tab-washer fitted used washer lot L-7"),
}


@pytest.mark.parametrize("name", ANOTHER)
def test_what_is_another_one_is_not_asked_back(workshop: Workshop, name: str) -> None:
    before = workshop.book.head().sequence
    play(workshop, ANOTHER[name])

    assert before < workshop.book.head().sequence


def test_going_round_once_more_as_a_group_is_not_asked_back(workshop: Workshop) -> None:
    """Five acts told five bolts; one that tells them all is what a broken pattern asks for."""
    bolts = [f"2031-04-02 10:0{n} sprocket-bolt-{n} stage 1 15 N·m with W-1 by P-2" for n in range(1, 6)]
    play(workshop, OPENED + "\n".join([*bolts, "2031-04-02 10:06 sprocket-bolt stage 1 15 N·m with W-1 by P-2"]))

    assert 11 == workshop.record("1").length


def test_what_was_struck_is_told_anew_without_a_question(workshop: Workshop) -> None:
    play(workshop, f"{OPENED}2031-04-02 10:05 {NUT} by P-2\n2031-04-02 10:06 line 2 struck: wrong day by P-2")
    play(workshop, f"2031-04-02 10:07 {NUT} by P-2")

    assert "tightened" == workshop.record("1").current("rear-axle-nut").state


def test_the_same_act_sent_again_is_no_question(workshop: Workshop, clock: Clock) -> None:
    """Its id is looked up before all else, and it changes nothing."""
    play(workshop, OPENED)
    clock.set("2031-04-02 10:05")
    said = Tighten(Outcome.TURNED_CLICKED, "W-1", "108 N·m")
    first, again = (tighten(workshop, "1", "rear-axle-nut", said, Say("P-2", id="phone-1")) for _ in range(2))

    assert first == again
