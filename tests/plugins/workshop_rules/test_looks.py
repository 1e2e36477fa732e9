"""Looks that find a fault or find all in order, the job that follows, and parts written down with what they are."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from torqueaudit.cli.job_sheet import lines_of
from torqueaudit.ledger.entry import Act, Draft
from torqueaudit.model.act import Refused, Say
from torqueaudit.model.shown.job import FollowedView
from torqueaudit.testing import findings, play
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit.workshop.judged.around import around_of
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.register.procedures import enter_procedure, read_against_source

HEAD = """
format = 1
name = "jerks"
title = "Jerks in the drive: find the fault"
edition = "1"
"""
LOOKS = """
[[work]]
step = "chain-look"
name = "chain"
says = "Look for rust, missing rollers and kinks."
look = true
means = "A kinked chain goes, with both sprockets."
[[work]]
step = "sprocket-look"
name = "front sprocket"
says = "Look for hooked or missing teeth."
look = true
after = ["chain-look"]
[[work]]
step = "turn-by-hand"
name = "turning by hand"
says = "Turn the wheel by hand and feel."
look = true
required = false
"""
OPENED = "2031-04-02 10:00 job 1 opened jerks on V-1 by P-2\n"
FOUND = OPENED + "2031-04-02 10:05 chain-look no: three links stiff by P-2\n2031-04-02 10:06 sprocket-look yes by P-2\n"
FOLLOWED = "2031-04-02 11:00 job 2 opened axle on V-1 after job 1 by P-2\n"
AXLE = """
2031-04-02 11:05 rear-axle-nut 108 N·m with W-1 by P-2
2031-04-02 11:06 rear-axle-nut mark intact by P-2
2031-04-02 11:09 rear-axle-nut checked mark seen by P-3
2031-04-02 11:15 released by P-1
"""
FAULT = "chain: fault found (three links stiff). A kinked chain goes, with both sprockets."


@pytest.fixture
def yard(workshop: Workshop, tmp_path: Path) -> Workshop:
    """The workshop, with a procedure that has looks and no fastener."""
    enter(workshop, tmp_path, HEAD + LOOKS)
    return workshop


def enter(workshop: Workshop, folder: Path, text: str) -> None:
    path = folder / "jerks.toml"
    path.write_text(text, encoding="utf-8")
    enter_procedure(workshop, path, Say("P-2"))
    read_against_source(workshop, "jerks", "", Say("P-3"))


def stops(workshop: Workshop, job: str = "1") -> list[str]:
    return findings(workshop, job, weight="stop")


def test_what_must_be_looked_at_is_asked_for(yard: Workshop) -> None:
    play(yard, OPENED)

    assert [
        "chain: not looked at. Look for rust, missing rollers and kinks.",
        "front sprocket: not looked at. Look for hooked or missing teeth.",
    ] == stops(yard)
    assert ("chain", "front sprocket") == show_job(yard, "1").next


def test_a_job_of_looks_in_order_is_released_and_leaves(yard: Workshop) -> None:
    play(
        yard,
        OPENED
        + """
        2031-04-02 10:05 chain-look yes by P-2
        2031-04-02 10:06 sprocket-look not applicable: belt by P-2
        2031-04-02 10:10 released by P-1
        2031-04-02 10:20 handed over at 12010 km by P-1
        """,
    )
    sheet = list(lines_of(show_job(yard, "1")))

    left_out = ["front sprocket: called not applicable (belt). Make sure that it is so."]
    assert ("handed over", left_out) == (show_job(yard, "1").state, findings(yard, "1"))
    assert left_out == findings(yard, rule="workshop_rules/not-applicable", weight="caution")
    assert not any(line.startswith("fastener ") for line in sheet)
    assert ["in order", "not applicable (belt)", ""] == [item.said for item in show_job(yard, "1").items]


def test_a_fault_found_is_a_stop_and_no_step_undone(yard: Workshop) -> None:
    """Somebody looked: what comes after may begin."""
    play(yard, FOUND)

    says = f"{FAULT} Put it right and look again, or open the job that does, as one that follows job 1."
    assert [says] == stops(yard)
    assert [] == findings(yard, rule="workshop_rules/step-too-early")
    assert (says,) == show_job(yard, "1").next
    with pytest.raises(Refused, match="cannot be released while 1 stop"):
        play(yard, "2031-04-02 10:10 job 1 released by P-1")


def test_a_fault_put_right_and_looked_at_again_is_none(yard: Workshop) -> None:
    play(yard, FOUND + "2031-04-02 10:30 chain-look yes: links freed by P-2\n")

    assert [] == findings(yard, "1")


def test_a_fault_may_be_conceded(yard: Workshop) -> None:
    """The foreman's word on one fault and no later one."""
    conceded = "conceded fault-found on chain until 2031-04-09: stiff and whole, 100 km at most by P-1"
    play(yard, f"{FOUND}2031-04-02 10:30 {conceded}")
    assert [] == stops(yard)

    play(yard, "2031-04-02 10:40 job 1 chain-look no: cracked plate by P-2")
    assert 1 == len(stops(yard))


def test_a_job_that_follows_answers_a_fault_once_it_is_released(yard: Workshop) -> None:
    play(yard, FOUND + FOLLOWED)
    assert [f"{FAULT} Job 2 follows, and was not released since."] == stops(yard)
    assert ("2",) == show_job(yard, "1").followed_by

    play(yard, AXLE.replace("2031-04-02 11:05 rear", "2031-04-02 11:05 job 2 rear"))
    assert [] == stops(yard)
    assert [f"{FAULT} Put right on job 2."] == findings(yard, rule="workshop_rules/fault-found", weight="note")
    play(yard, "2031-04-02 11:20 job 1 released by P-1")


def test_a_fault_found_after_the_release_is_not_answered_by_it(yard: Workshop) -> None:
    play(yard, FOUND + FOLLOWED + AXLE + "2031-04-02 12:00 job 1 sprocket-look no: hooked by P-2\n")

    assert ["front sprocket: fault found (hooked). Job 2 follows, and was not released since."] == stops(yard)


@pytest.mark.parametrize("line", ["line 4 struck: wrong job by P-2\n", "line 8 struck: too soon by P-1\n"])
def test_a_withdrawn_follow_up_or_a_struck_release_answers_nothing(yard: Workshop, line: str) -> None:
    after = AXLE if "line 8" in line else ""
    play(yard, f"{FOUND}{FOLLOWED}{after}2031-04-02 13:00 {line}")

    assert 1 == len(stops(yard))


def test_a_job_follows_one_on_its_own_vehicle(yard: Workshop) -> None:
    play(yard, FOUND)
    with pytest.raises(Refused, match="job 1 is on V-1; a job follows one on the same vehicle"):
        play(yard, "2031-04-02 11:00 job 2 opened axle on V-2 after job 1 by P-2")


def test_what_was_found_is_carried_over(yard: Workshop) -> None:
    """Faults found, and values outside their limits; nothing from a job that was withdrawn."""
    play(yard, FOUND + FOLLOWED)
    view = show_job(yard, "2")

    assert FollowedView("1", (FAULT,), ()) == view.follows
    sheet = list(lines_of(view))
    assert f"  {FAULT}" == sheet[sheet.index("carried over from job 1:") + 1]
    assert "follows job 1" in "\n".join(sheet)
    assert "followed by job 2" in "\n".join(lines_of(show_job(yard, "1")))

    play(yard, "2031-04-02 11:30 job 3 opened final-drive on V-1 by P-2\n2031-04-02 11:31 slack measured 52 mm by P-2")
    play(yard, "2031-04-02 11:32 job 4 opened axle on V-1 after job 3 by P-2")
    assert FollowedView("3", ("chain slack: 52 mm; 32 … 42 mm is specified.",), ()) == show_job(yard, "4").follows
    play(yard, FOUND.replace("job 1", "job 5") + "2031-04-02 11:40 line 1 struck: twice by P-2")
    play(yard, "2031-04-02 11:41 job 6 opened axle on V-1 after job 5 by P-2")
    assert FollowedView("5", (), ()) == show_job(yard, "6").follows


def test_an_opening_of_an_earlier_program_carries_nothing_to_another_vehicle(yard: Workshop) -> None:
    """It was not refused then; it neither takes a fault over nor answers it."""
    play(yard, FOUND + FOLLOWED)
    opened = yard.book.entries("job/2")[0]
    said, judged = {**opened.said, "vehicle": "V-2"}, {**opened.judged, "token": "other"}
    at = datetime(2031, 4, 2, 12, tzinfo=UTC)
    yard.book.append(
        Act("old", "ab" * 32),
        [Draft(subject="job/3", kind="opened.1", happened_at=at, who="P-2", said=said, judged=judged)],
        {},
    )

    assert FollowedView("1", (), ()) == show_job(yard, "3").follows
    assert ("2",) == show_job(yard, "1").followed_by


def test_a_brake_looked_at_and_not_in_order_is_not_proved(workshop: Workshop, tmp_path: Path) -> None:
    """No job that follows, and no permission, proves it."""
    enter(workshop, tmp_path, HEAD + LOOKS.replace("look = true\nmeans", 'look = true\nproves = "brake"\nmeans'))
    play(workshop, FOUND + FOLLOWED + AXLE)

    assert ["chain: answered no (three links stiff). Look for rust, missing rollers and kinks."] == findings(
        workshop, rule="workshop_rules/brake-not-proved"
    )


PART = """
[[work]]
fit = "chain"
name = "drive chain"
part = "chain"
attributes = ["size", "links"]
"""


def test_what_belongs_to_a_part_and_was_not_written_down_is_a_caution(workshop: Workshop, tmp_path: Path) -> None:
    enter(workshop, tmp_path, HEAD + PART)
    play(workshop, OPENED + "2031-04-02 10:05 chain fitted chain 525 lot L-7 with size=525 by P-2")
    says = "drive chain: not written down with it: links. Record it again with it."
    assert [says] == findings(workshop, rule="workshop_rules/part-attribute-missing", weight="caution")

    play(workshop, "2031-04-02 10:06 job 1 chain fitted used chain 525 lot L-7 with size=525, links=112 by P-2")
    assert [] == findings(workshop, rule="workshop_rules/part-attribute-missing")
    assert "chain 525, lot L-7, used before, size: 525, links: 112" == show_job(workshop, "1").items[0].said
    around = around_of(workshop, workshop.job("1"))
    assert [("L-7", True, (("size", "525"),)), ("L-7", False, (("size", "525"), ("links", "112")))] == [
        (each.lot, each.new, each.attributes) for each in around.fitted
    ]
